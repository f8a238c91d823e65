/** An open finding is accepted as it is, with the reason and the prosthetist's signature. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { NoteField } from '../parts/noteField.tsx';
import { Photos } from '../parts/photos.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { words } from '../words/words.ts';

export function AcceptFinding({
  socket,
  finding,
  onDone,
}: {
  readonly socket: Schemas['Socket'];
  readonly finding: Schemas['Socket']['openFindings'][number];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  const path = { findingId: finding.id };
  return (
    <details>
      <summary>{say.acceptFindingOf(say.findings[finding.kind], finding.note)}</summary>
      <Photos socketId={socket.id} findingId={finding.id} />
      <SignedForm
        act={say.acceptFinding}
        body={{ why }}
        ask={(body) =>
          answered(
            api.POST('/api/v1/findings/{findingId}/acceptance/to-sign', { params: { path }, body }),
          )
        }
        sign={async (key, body, signature) => {
          await answered(
            api.POST('/api/v1/findings/{findingId}/acceptance', {
              params: { path, header: once(key) },
              body: { ...body, signature },
            }),
          );
          onDone(say.findingAccepted);
          await readAgain();
        }}
      >
        {({ against }) => (
          <NoteField label={say.whyField} value={why} against={against('/why')} onType={setWhy} />
        )}
      </SignedForm>
    </details>
  );
}
