/** Open findings of a socket, and closing one by rework, which is the bench's. */
import { useState } from 'preact/hooks';
import { act, openActsOf } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Photos } from '../parts/photos.tsx';
import { words } from '../words/words.ts';
import { keptFor } from './keptHere.ts';
import { place } from './place.ts';
import type { Socket } from './record.ts';

export function Findings({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  if (socket.openFindings.length === 0) return null;
  return (
    <section>
      <h2>{say.findings}</h2>
      {socket.openFindings.map((finding) => (
        <Finding key={finding.id} socket={socket} {...finding} />
      ))}
      <p class="label">{say.otherDisposition}</p>
    </section>
  );
}

function Finding({
  socket,
  id,
  kind,
  note,
}: Socket['openFindings'][number] & { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  return (
    <article class="finding">
      <p>
        <strong>{say.findingKinds[kind]}</strong>: {note}
      </p>
      <Photos socketId={socket.id} findingId={id} />
      {keptFor(openActsOf(socket.id), `disposition:${id}`) === undefined && (
        <ActForm
          act={say.reworked}
          send={async (key) => {
            const outcome = await act(key, {
              path: '/api/v1/findings/{findingId}/disposition',
              params: { findingId: id },
              body: (recordedAt) => ({ disposition: 'rework' as const, why, recordedAt }),
              said: `${say.findingKinds[kind]}: ${say.reworked}`,
              about: socket.number,
              told: [[say.reworkedHow, why]],
              subject: `disposition:${id}`,
              socketId: socket.id,
              page: place.socket(socket.id),
            });
            if (outcome.kind === 'done') await readAgain();
          }}
        >
          {({ against }) => (
            <TextField
              label={say.reworkedHow}
              value={why}
              against={against('/why')}
              onInput={({ currentTarget }) => setWhy(currentTarget.value)}
            />
          )}
        </ActForm>
      )}
    </article>
  );
}
