/** Open findings of a socket, and closing one by rework, which is the bench's. */
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Photos } from '../parts/photos.tsx';
import { words } from '../words/words.ts';
import type { Socket } from './record.ts';

export function Findings({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  if (socket.openFindings.length === 0) return null;
  return (
    <section>
      <h2>{say.findings}</h2>
      {socket.openFindings.map((finding) => (
        <Finding key={finding.id} socketId={socket.id} {...finding} />
      ))}
      <p class="label">{say.otherDisposition}</p>
    </section>
  );
}

function Finding({
  socketId,
  id,
  kind,
  note,
}: { readonly socketId: string } & Socket['openFindings'][number]) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  return (
    <article class="finding">
      <p>
        <strong>{say.findingKinds[kind]}</strong>: {note}
      </p>
      <Photos socketId={socketId} findingId={id} />
      <ActForm
        act={say.reworked}
        send={async (key) => {
          await answered(
            api.POST('/api/v1/findings/{findingId}/disposition', {
              params: { path: { findingId: id }, header: once(key) },
              body: { disposition: 'rework', why },
            }),
          );
          await readAgain();
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
    </article>
  );
}
