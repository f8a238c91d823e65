/** Legal holds on a record: shown to all who see it, placed and lifted by an administrator. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { Rights } from './PatientPage.tsx';

type Hold = Schemas['LegalHold'];

export function Holds({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  return (
    <section>
      <h2>{say.holds}</h2>
      {of.holds.length === 0 ? <p>{say.noHold}</p> : <p class="caution">{say.onHold}</p>}
      <ul class="lines">
        {of.holds.map((hold) => (
          <HoldLine key={hold.id} hold={hold} />
        ))}
      </ul>
      {may('administrator') && <Place patientId={of.patientId} />}
    </section>
  );
}

export function HoldLine({ hold }: { readonly hold: Hold }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  const subject = [
    say.holdOn[hold.subjectKind],
    hold.orderNumber ??
      (hold.partName === null ? hold.chartNumber : `${hold.partName} ${hold.lot ?? ''}`),
  ].join(' ');
  return (
    <li>
      <strong>{hold.reference}</strong> {subject}
      <div>{hold.reason}</div>
      <small>{say.placed(hold.placedBy, at(hold.placedAt))}</small>
      {hold.liftedAt !== null && (
        <div>
          <small>{say.lifted(hold.liftedBy ?? '', at(hold.liftedAt))}</small> {hold.liftReason}
        </div>
      )}
      {hold.liftedAt === null && may('administrator') && <Lift id={hold.id} />}
    </li>
  );
}

function Lift({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/legal-holds/{legalHoldId}/lift', {
        params: { path: { legalHoldId: id }, header: once(key) },
        body: { why },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.lift}</summary>
      <ActForm act={say.lift} send={send}>
        {({ against }) => (
          <NoteField label={say.liftWhy} value={why} against={against('/why')} onType={setWhy} />
        )}
      </ActForm>
    </details>
  );
}

function Place({ patientId }: { readonly patientId: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [reason, setReason] = useState('');
  const [reference, setReference] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/legal-holds', {
        params: { header: once(key) },
        body: { patientId, reason, reference },
      }),
    );
    setReason('');
    setReference('');
    await readAgain();
  };
  return (
    <details>
      <summary>{say.place}</summary>
      <ActForm act={say.place} send={send}>
        {({ against }) => (
          <>
            <TextField
              label={say.reference}
              hint={say.referenceHint}
              autocomplete="off"
              value={reference}
              against={against('/reference')}
              onInput={({ currentTarget }) => setReference(currentTarget.value)}
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
    </details>
  );
}
