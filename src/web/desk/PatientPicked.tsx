/** Whom the order is for, with what is under way for the same person already. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderPage } from '../links.ts';
import { words } from '../words/words.ts';
import { patientInFull, type Patient } from './patients.ts';

export function PatientPicked({
  patient,
  onAnother,
}: {
  readonly patient: Patient;
  readonly onAnother: () => void;
}) {
  const { desk: say, sides, levels, stages } = words.value;
  const { data } = useQuery({
    queryKey: ['orders', 'of', patient.id],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders', {
          params: { query: { patientId: patient.id, sort: 'opened', limit: 20 } },
        }),
      ),
  });
  const open = (data?.items ?? []).filter(
    ({ stage }) => stage !== 'delivered' && stage !== 'cancelled',
  );
  return (
    <>
      <p class="picked">
        <strong>{patientInFull(patient)}</strong>{' '}
        <button type="button" onClick={onAnother}>
          {say.anotherPatient}
        </button>
      </p>
      {open.length > 0 && (
        <div class="caution">
          {say.openAlready}:
          <ul>
            {open.map(({ id, number, side, level, stage }) => (
              <li key={id}>
                <Link href={orderPage(id)}>{number}</Link> · {sides[side]}, {levels[level]} ·{' '}
                {stages[stage]}
              </li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}
