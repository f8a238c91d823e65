/** An open finding is accepted as it is, with the reason and the prosthetist's signature. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { Photos } from '../parts/photos.tsx';
import { Signing } from '../parts/signing.tsx';
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
  const [password, setPassword] = useState('');
  const kind = say.findings[finding.kind];
  const send = async (key: string): Promise<void> => {
    const params = { path: { findingId: finding.id }, header: once(key) };
    const body = { why, signature: { password } };
    try {
      await answered(api.POST('/api/v1/findings/{findingId}/acceptance', { params, body }));
    } finally {
      setPassword('');
    }
    onDone(say.findingAccepted);
    await readAgain();
  };
  return (
    <details>
      <summary>{say.acceptFindingOf(kind, finding.note)}</summary>
      <Photos socketId={socket.id} findingId={finding.id} />
      <ActForm act={say.acceptFinding} send={send}>
        {({ against }) => (
          <>
            <NoteField label={say.whyField} value={why} against={against('/why')} onType={setWhy} />
            <Signing
              meaning={say.meanings.finding_accepted_as_is}
              content={[
                [say.socket, socket.number],
                [say.finding, kind],
                [say.seen, finding.note],
                [say.whyField, why.trim() === '' ? say.missing : why],
              ]}
              password={password}
              onType={setPassword}
              against={against('/signature/password')}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
