/** Patients who may be the one about to be entered: each is that person, or somebody else. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { patientInFull, type Patient } from './patients.ts';
import { useSettled } from './useSettled.ts';

export interface Traits {
  readonly givenName: string;
  readonly familyName: string;
  readonly birthDate: string;
  readonly phone: string;
}

/** Asks as soon as name and birth date are there. */
export function useLookAlikes(typed: Traits) {
  const settled = useSettled(JSON.stringify(typed), 300);
  const { givenName, familyName, birthDate, phone } = JSON.parse(settled) as Traits;
  return useQuery({
    queryKey: ['look-alikes', settled],
    enabled: [givenName, familyName, birthDate].every((each) => each.trim() !== ''),
    placeholderData: keepPreviousData,
    queryFn: () =>
      answered(
        api.POST('/api/v1/patients/look-alikes', {
          body: {
            givenName,
            familyName,
            birthDate,
            ...(/\d.*\d.*\d/.test(phone) ? { phone } : {}),
          },
        }),
      ),
  });
}

export function LookAlikes({
  candidates,
  others,
  undecided,
  onSame,
  onOther,
}: {
  readonly candidates: Schemas['LookAlikes']['candidates'];
  /** Who was looked at and is somebody else. */
  readonly others: ReadonlySet<string>;
  /** Whether the patient was sent although somebody was not looked at. */
  readonly undecided: boolean;
  readonly onSame: (patient: Patient) => void;
  readonly onOther: (patientId: string, other: boolean) => void;
}) {
  const { desk: say } = words.value;
  return (
    <div role="status">
      {candidates.length > 0 && <h2>{say.lookAlikes}</h2>}
      {candidates.map(({ patient, because }) => (
        <div key={patient.id} class="caution field">
          <div>{patientInFull(patient)}</div>
          <div class="hint">{say.likenesses[because]}</div>
          <button type="button" onClick={() => onSame(patient)}>
            {say.samePerson}
          </button>{' '}
          <label class="tick">
            <input
              type="checkbox"
              checked={others.has(patient.id)}
              aria-invalid={undecided && !others.has(patient.id) ? 'true' : undefined}
              onChange={({ currentTarget }) => onOther(patient.id, currentTarget.checked)}
            />
            {say.somebodyElse}
          </label>
          {undecided && !others.has(patient.id) && <span class="against">{say.decide}</span>}
        </div>
      ))}
    </div>
  );
}
