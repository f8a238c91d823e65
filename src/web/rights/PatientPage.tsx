/** A patient's record and rights on one sheet: how long it is kept, what holds it, copies, corrections, erasure. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { patientWords } from '../desk/patients.ts';
import { historyPage, ordersOfPatient } from '../links.ts';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { dayWords, words } from '../words/words.ts';
import { AskCopy } from './AskCopy.tsx';
import { Corrections } from './Corrections.tsx';
import { Erasures } from './Erasures.tsx';
import { Holds } from './Holds.tsx';
import { Requests } from './Requests.tsx';
import type { Rights } from './rights.ts';

export function PatientPage({ params: { patientId } }: { params: { patientId: string } }) {
  const { rights: say, audit } = words.value;
  const path = { patientId };
  const { data, error, refetch } = useQuery({
    queryKey: ['rights', patientId],
    queryFn: () => answered(api.GET('/api/v1/patients/{patientId}/rights', { params: { path } })),
  });
  const { data: patient } = useQuery({
    queryKey: ['patient', patientId],
    queryFn: () => answered(api.GET('/api/v1/patients/{patientId}', { params: { path } })),
  });
  return (
    <Sheet title={say.open}>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined ? (
        error === null && <Loading />
      ) : (
        <>
          <Facts
            of={[
              [
                say.patient,
                data.identityErased
                  ? `${data.chartNumber} · ${say.nameErased}`
                  : patient === undefined
                    ? data.chartNumber
                    : patientWords(patient),
              ],
              [say.keptUntil, keptWords(data.retention)],
            ]}
          />
          <p class="hint">{say.nothingByItself}</p>
          <Holds of={data} />
          {may('front_desk', 'prosthetist', 'auditor') && (
            <>
              <Requests of={data} />
              <Corrections of={data} />
            </>
          )}
          {may('front_desk', 'prosthetist') && <AskCopy patientId={patientId} />}
          <Erasures of={data} />
          <p>
            <Link class="touch" href={ordersOfPatient(patientId)}>
              {words.value.pages.orders}
            </Link>{' '}
            <Link class="touch" href={historyPage('patient', patientId)}>
              {audit.history}
            </Link>
          </p>
        </>
      )}
    </Sheet>
  );
}

export function keptWords({ keptUntil, because, from }: Rights['retention']): string {
  const { rights: say } = words.value;
  const until = keptUntil === null ? say.underWay : dayWords(keptUntil);
  return `${until} — ${say.because[because](dayWords(from))}`;
}
