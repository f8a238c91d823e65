/** One long work: what it is, how far it is, and what can be done about it. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Download } from '../parts/download.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

export type Work = Schemas['LongWork'];

export const isOpen = ({ state }: Pick<Work, 'state'>): boolean =>
  state === 'waiting' || state === 'running';

const FILES = {
  recall_of_many: 'recall-of-many.csv',
  record_export: 'castbook-record.ndjson',
  parts_import: 'parts-checked.csv',
  patient_export: 'patient-record.json',
} as const satisfies Record<Work['kind'], string>;

export function WorkLine({ work }: { readonly work: Work }) {
  const { work: say } = words.value;
  const instantWords = useInstantWords();
  const { kind, state, failure, summary } = work;
  const path = { longWorkId: work.id };
  return (
    <li>
      <strong>{say.kinds[kind]}</strong> <span>{aboutWords(work)}</span>
      <small>{say.askedBy(work.askedBy.printedName, instantWords(work.askedAt))}</small>
      <Progress work={work} />
      {state === 'failed' && failure !== null && (
        <p class="against">
          {failure.detail} {failure.wayOut}
        </p>
      )}
      {summary !== null && (
        <ul class="figures">
          {Object.entries(say.figures).map(([name, what]) =>
            summary[name] === undefined ? null : (
              <li key={name}>
                {what}: <strong>{summary[name]}</strong>
              </li>
            ),
          )}
        </ul>
      )}
      <p class="row">
        {state === 'done' && kind === 'patient_export' && (
          <Download
            words={say.savePaper}
            fileName="patient-record.pdf"
            read={() =>
              answered(
                api.GET('/api/v1/long-works/{longWorkId}/record.pdf', {
                  params: { path },
                  parseAs: 'blob',
                }),
              )
            }
          />
        )}
        {state === 'done' && (
          <Download
            words={say.save[kind]}
            fileName={FILES[kind]}
            read={() =>
              answered(
                api.GET('/api/v1/long-works/{longWorkId}/result', {
                  params: { path },
                  parseAs: 'blob',
                }),
              )
            }
          />
        )}
        {isOpen(work) && work.cancelledAt === null && <Cancel work={work} />}
      </p>
    </li>
  );
}

function aboutWords({ kind, askedCount, orderNumber, chartNumber, enters }: Work): string {
  const { work: say } = words.value;
  if (kind === 'patient_export') return say.ofPatient(chartNumber ?? '');
  if (kind === 'record_export') {
    return orderNumber === null ? say.wholeClinic : say.ofOrder(orderNumber);
  }
  if (kind === 'recall_of_many') return say.entries(askedCount ?? 0);
  return enters === true ? say.linesToEnter(askedCount ?? 0) : say.linesToLookAt(askedCount ?? 0);
}

/** A bar, and the same in words: those who do not see it hear them. */
function Progress({ work: { state, done, total, cancelledAt } }: { readonly work: Work }) {
  const { work: say } = words.value;
  const so = total === null ? say.states[state] : `${say.states[state]}, ${say.soFar(done, total)}`;
  const isCancelling = state === 'running' && cancelledAt !== null;
  return (
    <div class="progress">
      {state === 'running' && (
        <progress
          aria-label={say.howFar}
          {...(total === null ? {} : { max: Math.max(total, 1), value: done })}
        />
      )}
      <span>{isCancelling ? say.cancelling : so}</span>
    </div>
  );
}

function Cancel({ work }: { readonly work: Work }) {
  const { work: say } = words.value;
  const readAgain = useReadAgain();
  const [key] = useState(() => crypto.randomUUID());
  const [failure, setFailure] = useState<unknown>(null);
  const cancel = async (): Promise<void> => {
    setFailure(null);
    try {
      await answered(
        api.POST('/api/v1/long-works/{longWorkId}/cancel', {
          params: { path: { longWorkId: work.id }, header: once(key) },
        }),
      );
      await readAgain();
    } catch (wrong) {
      setFailure(wrong);
    }
  };
  return (
    <>
      <button type="button" onClick={() => void cancel()}>
        {say.cancel}
      </button>
      <WentWrong failure={failure} />
    </>
  );
}
