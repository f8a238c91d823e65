/** A copy of the whole record for the patient: asked for with the reason, and to whom it is handed. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { useAsk } from '../work/useAsk.ts';
import { words } from '../words/words.ts';

export function AskCopy({ patientId }: { readonly patientId: string }) {
  const { rights: say } = words.value;
  const ask = useAsk();
  const [reason, setReason] = useState('');
  const [handedTo, setHandedTo] = useState('');
  const [asked, setAsked] = useState(false);
  const send = async (key: string): Promise<void> => {
    await ask({ kind: 'patient_export', patientId, reason, handedTo }, key);
    setReason('');
    setHandedTo('');
    setAsked(true);
  };
  return (
    <section>
      <h2>{say.copy}</h2>
      <p>{say.copyIntro}</p>
      <ActForm act={say.askCopy} send={send}>
        {({ against }) => (
          <>
            <TextField
              label={say.handedTo}
              autocomplete="off"
              value={handedTo}
              against={against('/handedTo')}
              onInput={({ currentTarget }) => setHandedTo(currentTarget.value)}
            />
            <NoteField
              label={say.reason}
              value={reason}
              against={against('/reason')}
              onType={setReason}
            />
          </>
        )}
      </ActForm>
      {asked && (
        <p role="status">
          {say.copyAsked} <Link href="/long-work">{say.toWork}</Link>
        </p>
      )}
    </section>
  );
}
