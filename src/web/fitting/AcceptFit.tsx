/** The fit is accepted: the alignment as it sits, and the signature. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { NoteField } from '../parts/noteField.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { words } from '../words/words.ts';
import { AlignmentFields } from './AlignmentFields.tsx';
import { alignmentOf, NOTHING_TYPED } from './alignmentTyped.ts';

export function AcceptFit({
  socket,
  record,
  onDone,
}: {
  readonly socket: Schemas['Socket'];
  readonly record: Schemas['Alignments'] | undefined;
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [typed, setTyped] = useState(NOTHING_TYPED);
  const [note, setNote] = useState('');
  const path = { socketId: socket.id };
  const body = { alignment: alignmentOf(typed), ...(note.trim() === '' ? {} : { note }) };
  return (
    <SignedForm
      act={say.acceptFit}
      body={body}
      ask={(asked) =>
        answered(
          api.POST('/api/v1/sockets/{socketId}/fit-acceptance/to-sign', {
            params: { path },
            body: asked,
          }),
        )
      }
      sign={async (key, judged, signature) => {
        await answered(
          api.POST('/api/v1/sockets/{socketId}/fit-acceptance', {
            params: { path, header: once(key) },
            body: { ...judged, signature },
          }),
        );
        onDone(say.fitAccepted(socket.number));
        await readAgain();
      }}
    >
      {({ against }) => (
        <>
          <AlignmentFields
            typed={typed}
            against={against}
            at="/alignment"
            socket={socket}
            record={record}
            onType={setTyped}
          />
          <NoteField label={say.note} value={note} against={against('/note')} onType={setNote} />
        </>
      )}
    </SignedForm>
  );
}
