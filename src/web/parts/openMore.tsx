/** Opening what the role does not see of a patient: what it means is said before it is done. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { BREAK_GLASS_REASONS, type BreakGlassReason } from '../../domain/breakGlass.ts';
import { answered, api, type Schemas } from '../api.ts';
import { may } from '../session/session.ts';
import { birthDayWords, words } from '../words/words.ts';
import { asChosen, once, useReadAgain } from './act.ts';
import { Choices } from './fields.tsx';
import { ActForm } from './form.tsx';
import { useInstantWords } from './instants.ts';
import { NoteField } from './noteField.tsx';
import { Facts } from './sheet.tsx';

type Patient = Schemas['Patient'];

/**
 * Nothing where the role sees it all, or may open nothing.
 * @param isBeside where the page says itself who the patient is
 */
export function OpenMore({
  patientId,
  isBeside = false,
}: {
  readonly patientId: string;
  readonly isBeside?: boolean;
}) {
  const { data: patient } = useQuery({
    queryKey: ['patient', patientId],
    enabled: may('technician', 'auditor'),
    queryFn: () =>
      answered(api.GET('/api/v1/patients/{patientId}', { params: { path: { patientId } } })),
  });
  const more = patient?.more;
  if (patient === undefined || more === undefined) return null;
  return more.openUntil === null ? (
    <Open patient={patient} fields={more.mayOpen} />
  ) : (
    <Opened patient={patient} until={more.openUntil} isBeside={isBeside} />
  );
}

function Opened({
  patient,
  until,
  isBeside,
}: {
  readonly patient: Patient;
  readonly until: string;
  readonly isBeside: boolean;
}) {
  const { looks: say, desk } = words.value;
  const at = useInstantWords();
  const { familyName, givenName, birthDate, phone } = patient;
  if (isBeside) return <p role="status">{say.openUntil(at(until))}</p>;
  return (
    <section>
      <p role="status">{say.openUntil(at(until))}</p>
      <Facts
        of={[
          [desk.patient, familyName === undefined ? null : `${familyName}, ${givenName ?? ''}`],
          [desk.birthDate, birthDate === undefined ? null : birthDayWords(birthDate)],
          // Opened, and none was ever entered: an empty line would read as withheld.
          [desk.phone, phone === null ? say.noPhone : phone],
        ]}
      />
    </section>
  );
}

function Open({
  patient,
  fields,
}: {
  readonly patient: Patient;
  readonly fields: NonNullable<Patient['more']>['mayOpen'];
}) {
  const { looks: say } = words.value;
  const readAgain = useReadAgain();
  const [reason, setReason] = useState<BreakGlassReason>();
  const [said, setSaid] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/patients/{patientId}/more', {
        params: { path: { patientId: patient.id }, header: once(key) },
        body: { reason: asChosen(reason), words: said },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.open}</summary>
      <p class="caution">{say.before(fields.map((field) => say.fields[field]).join(', '))}</p>
      <ActForm act={say.openAct} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.reason}
              name="reason"
              of={
                Object.fromEntries(
                  BREAK_GLASS_REASONS.map((each) => [each, say.reasons[each]]),
                ) as Record<BreakGlassReason, string>
              }
              value={reason}
              against={against('/reason')}
              onChoose={setReason}
            />
            <NoteField
              label={say.inWords}
              hint={say.inWordsHint}
              value={said}
              against={against('/words')}
              onType={setSaid}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
