/** The answer of a recall: how soon, who is to be called, where the rest is, and whether it adds up. */
import { Link } from 'wouter-preact';
import { useState } from 'preact/hooks';
import { callsLeft, RECALL_STATIONS } from '../../domain/recall.ts';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { Download } from '../parts/download.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { CorrectedHere } from '../rights/CorrectedHere.tsx';
import { LotHolds } from '../rights/LotHolds.tsx';
import { may } from '../session/session.ts';
import { inFigures, steady } from '../words/figures.ts';
import { words } from '../words/words.ts';
import { CallsMade, NoteCall, type CalledAbout } from './RecallCalls.tsx';
import { Quarantine } from './Quarantine.tsx';
import type { Question } from './recallQuestion.ts';
import { patientWords } from './TraceSubject.tsx';

type Recall = Schemas['Recall'];
type Call = Recall['wearers'][number]['calls'][number];

export function RecallAnswer({
  recall,
  askedAt,
  seconds,
  question,
}: {
  readonly recall: Recall;
  readonly askedAt: string;
  readonly seconds: number;
  readonly question: Question;
}) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const file = { params: { query: question }, parseAs: 'blob' } as const;
  return (
    <section aria-label={say.answer}>
      <p class="drill-clock" role="status">
        {say.answeredAfter(steady(seconds, 1))}
      </p>
      <p>
        {recall.kind === 'lot'
          ? say.recallOfLot(recall.lot, recall.parts.map(({ name }) => name).join(', '))
          : say.recallOfBatch(recall.batch.name, recall.batch.lot)}{' '}
        {say.askedAt(at(askedAt))}
      </p>
      <p class="row">
        <Download
          words={say.csv}
          fileName="recall.csv"
          read={() => answered(api.GET('/api/v1/recall.csv', file))}
        />
        <Download
          words={say.pdf}
          fileName="recall.pdf"
          read={() => answered(api.GET('/api/v1/recall.pdf', file))}
        />
        <Download
          words={say.json}
          fileName="recall.json"
          read={() => answered(api.GET('/api/v1/recall.json', file))}
        />
      </p>
      <Wearers
        of={recall.wearers}
        about={recall.kind === 'lot' ? { lot: recall.lot } : { batchId: recall.batch.id }}
      />
      <h2>{say.counts}</h2>
      {recall.kind === 'lot' ? <LotCounts of={recall} /> : <BatchCounts of={recall} />}
      <Holding title={say.inWork} of={recall.inWork} />
      <Holding title={say.inRetired} of={recall.inRetired} />
      {recall.kind === 'lot' && recall.elsewhere.length > 0 && (
        <>
          <h2>{say.elsewhere}</h2>
          <ul>
            {recall.elsewhere.map(({ itemId, label, place }) => (
              <li key={itemId}>
                {label}: {place}
              </li>
            ))}
          </ul>
        </>
      )}
      <Named of={recall.named} />
      {recall.kind === 'lot' && <LotHolds parts={recall.parts} lot={recall.lot} />}
      {recall.kind === 'lot' && may('prosthetist', 'administrator') && (
        <Quarantine lot={recall.lot} parts={recall.parts} />
      )}
    </section>
  );
}

function Wearers({
  of: asked,
  about,
}: {
  readonly of: Recall['wearers'];
  readonly about: CalledAbout;
}) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const calls = may('front_desk', 'prosthetist', 'administrator');
  // What is noted here stands in the list at once: asking again would be another drill.
  const [noted, setNoted] = useState<readonly (Call & { readonly socketId: string })[]>([]);
  const of = asked.map((wearer) => ({
    ...wearer,
    calls: [...noted.filter(({ socketId }) => socketId === wearer.socketId), ...wearer.calls],
  }));
  const { reached, left } = callsLeft(of);
  return (
    <>
      <h2>{say.toCall(of.length)}</h2>
      {!calls && of.length > 0 && <p class="hint">{say.noNames}</p>}
      {of.length > 0 && (
        <p class="calls-left" role="status">
          {left === 0 ? say.everybodyReached : say.callsLeft(reached, left)}
        </p>
      )}
      {of.length > 0 && (
        <table class="stacked">
          <thead>
            <tr>
              <th>{say.keys.patient}</th>
              {calls && <th>{say.phone}</th>}
              <th>{say.keys.socket}</th>
              <th>{say.since}</th>
              <th>{say.wears}</th>
              <th>{say.called}</th>
            </tr>
          </thead>
          <tbody>
            {of.map((wearer) => (
              <tr key={wearer.socketId} class={isReached(wearer) ? 'reached' : ''}>
                <td data-label={say.keys.patient}>
                  <strong>{patientWords(wearer.patient)}</strong>
                </td>
                {calls && (
                  <td data-label={say.phone}>
                    {wearer.phone === null ? (
                      say.noPhone
                    ) : (
                      <a class="touch" href={`tel:${wearer.phone.replaceAll(' ', '')}`}>
                        {wearer.phone}
                      </a>
                    )}
                  </td>
                )}
                <td data-label={say.keys.socket}>
                  <Link href={orderPage(wearer.orderId)}>{wearer.socketNumber}</Link>
                </td>
                <td data-label={say.since}>
                  {wearer.deliveredAt === null ? '' : at(wearer.deliveredAt)}
                </td>
                <td data-label={say.wears}>
                  {wearer.pieces.join('; ')}
                  <CorrectedHere named of={wearer.corrections} />
                </td>
                <td data-label={say.called}>
                  <CallsMade calls={wearer.calls} />
                  {calls && (
                    <NoteCall
                      about={about}
                      socketId={wearer.socketId}
                      patient={patientWords(wearer.patient)}
                      onNoted={(call) =>
                        setNoted([{ ...call, socketId: wearer.socketId }, ...noted])
                      }
                    />
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

const isReached = ({ calls }: Pick<Recall['wearers'][number], 'calls'>): boolean =>
  calls.some(({ outcome }) => outcome === 'reached');

function LotCounts({ of }: { of: Extract<Recall, { kind: 'lot' }> }) {
  const { audit: say } = words.value;
  return (
    <>
      <table class="sums">
        <tbody>
          {RECALL_STATIONS.map((station) => (
            <tr key={station}>
              <th scope="row">{say.stations[station]}</th>
              <td>{of.counts[station]}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">{say.accountedFor}</th>
            <td>{of.accountedFor}</td>
          </tr>
          <tr>
            <th scope="row">{say.receivedPieces}</th>
            <td>{of.received}</td>
          </tr>
        </tfoot>
      </table>
      {of.reconciles ? (
        <p class="caution">{say.reconciles}</p>
      ) : (
        <p class="problem" role="alert">
          <strong>{say.doesNotReconcile(of.unclear.length)}</strong> {of.unclear.join(', ')}
        </p>
      )}
    </>
  );
}

function BatchCounts({ of }: { of: Extract<Recall, { kind: 'batch' }> }) {
  const { audit: say } = words.value;
  const unit = words.value.bench.units[of.batch.unit];
  const amount = (value: number): string => `${inFigures(value, 3)} ${unit}`;
  const lines: readonly (readonly [string, string | number])[] = [
    [say.stations.worn, of.counts.worn],
    [say.stations.inWork, of.counts.inWork],
    [say.stations.inRetired, of.counts.inRetired],
    [say.usedAmount, amount(of.used)],
    [say.leftByBook, amount(of.leftByBook)],
    [say.receivedAmount, amount(of.batch.quantity)],
    [say.usesWithoutAmount, of.usesWithoutAmount],
  ];
  return (
    <>
      <table class="sums">
        <tbody>
          {lines.map(([label, value]) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              <td>{value}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="caution">
        {of.reconciles === null
          ? say.cannotReconcile
          : of.reconciles
            ? say.batchReconciles
            : say.batchDoesNotReconcile}
      </p>
    </>
  );
}

/** Corrections elsewhere whose words name the lot: the lists do not follow words. */
function Named({ of }: { of: Recall['named'] }) {
  const { audit: say } = words.value;
  if (of.length === 0) return null;
  return (
    <>
      <h2>{say.named}</h2>
      <p class="caution">{say.namedHint}</p>
      <ul>
        {of.map(({ orderId, orderNumber, chartNumber, correction }) => (
          <li key={correction.id}>
            {orderId === null ? (
              chartNumber
            ) : (
              <>
                <Link href={orderPage(orderId)}>{orderNumber}</Link>, {chartNumber}
              </>
            )}
            <CorrectedHere named of={[correction]} />
          </li>
        ))}
      </ul>
    </>
  );
}

function Holding({ title, of }: { title: string; of: Recall['inWork'] }) {
  const { fitting } = words.value;
  if (of.length === 0) return null;
  return (
    <>
      <h2>{title}</h2>
      <ul>
        {of.map((socket) => (
          <li key={socket.socketId}>
            <Link href={orderPage(socket.orderId)}>{socket.socketNumber}</Link>,{' '}
            {socket.chartNumber}, {fitting.socketStates[socket.socketState]}:{' '}
            {socket.pieces.join('; ')}
            <CorrectedHere named of={socket.corrections} />
          </li>
        ))}
      </ul>
    </>
  );
}
