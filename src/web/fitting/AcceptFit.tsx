/** The fit is accepted: the alignment as it sits, and the signature on exactly what is shown. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { Signing } from '../parts/signing.tsx';
import { words } from '../words/words.ts';
import { AlignmentFields } from './AlignmentFields.tsx';
import { alignmentOf, COMPONENTS, NOTHING_TYPED, valueWords } from './alignmentTyped.ts';
import { HardwareWords } from './HardwareWords.tsx';

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
  const [password, setPassword] = useState('');
  const send = async (key: string): Promise<void> => {
    const params = { path: { socketId: socket.id }, header: once(key) };
    const body = {
      alignment: alignmentOf(typed),
      ...(note.trim() === '' ? {} : { note }),
      signature: { password },
    };
    try {
      await answered(api.POST('/api/v1/sockets/{socketId}/fit-acceptance', { params, body }));
    } finally {
      // A password is typed for one act, also where it was refused.
      setPassword('');
    }
    onDone(say.fitAccepted(socket.number));
    await readAgain();
  };
  return (
    <ActForm act={say.acceptFit} send={send}>
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
          <Signing
            meaning={say.meanings.fit_accepted}
            content={[
              [say.socket, socket.number],
              ...COMPONENTS.map(
                (each) =>
                  [
                    say.components[each],
                    valueWords(alignmentOf(typed), each) ?? say.missing,
                  ] as const,
              ),
              [say.note, note.trim() === '' ? say.none : note],
              [say.hardware, <HardwareWords of={socket.hardware} />],
            ]}
            password={password}
            onType={setPassword}
            against={against('/signature/password')}
          />
        </>
      )}
    </ActForm>
  );
}
