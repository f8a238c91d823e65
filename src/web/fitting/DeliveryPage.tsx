/** The delivery: all that is missing, each with its way; then who receives the limb, and the signature. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { Done } from '../parts/done.tsx';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { DeliveryPapers } from '../papers/OrderPapers.tsx';
import { may } from '../session/session.ts';
import { Help } from '../parts/help.tsx';
import { dayWords, words } from '../words/words.ts';
import { AcknowledgeMass } from './AcknowledgeMass.tsx';
import { Deliver } from './Deliver.tsx';
import { AcceptFinding } from './AcceptFinding.tsx';
import { wayTo } from './gateWays.ts';
import { patientSeen, useOrder, useSocket } from './order.ts';

type Gate = Schemas['DeliveryGate'];

export function DeliveryPage({ params: { orderId } }: { params: { orderId: string } }) {
  const { fitting: say, sides, levels, stages } = words.value;
  const [done, setDone] = useState('');
  const order = useOrder(orderId);
  const gate = useQuery({
    queryKey: ['delivery-gate', orderId],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}/delivery-gate', { params: { path: { orderId } } }),
      ),
  });
  const socket = useSocket(gate.data?.socketId ?? undefined);
  const failure = order.error ?? gate.error ?? socket.error;
  const there = order.data;
  if (there === undefined || gate.data === undefined) {
    return (
      <Sheet title={say.deliveryTitle}>
        {failure === null ? <Loading /> : <WentWrong failure={failure} />}
      </Sheet>
    );
  }
  const delivered = there.stage === 'delivered';
  return (
    <Sheet title={`${say.deliveryTitle} · ${there.number}`}>
      <Facts
        of={[
          [say.patient, patientSeen(there.patient)],
          [say.limb, `${sides[there.side]}, ${levels[there.level]}`],
          [say.stage, stages[there.stage]],
          [say.promised, there.promisedOn === null ? null : dayWords(there.promisedOn)],
          [say.socket, gate.data.socketNumber],
          [say.order, <Link href={orderPage(orderId)}>{there.number}</Link>],
        ]}
      />
      <Done said={done} />
      <WentWrong failure={failure} />
      {delivered ? (
        <>
          {done === '' && <p class="caution">{say.deliveredAlready}</p>}
          <div class="papers">
            {there.sockets.map((each) => (
              <DeliveryPapers key={each.id} socket={each} />
            ))}
          </div>
        </>
      ) : (
        <>
          <Missing gate={gate.data} order={there} />
          {socket.data !== undefined && may('prosthetist') && (
            <>
              {gate.data.missing.some(({ code }) => code === 'mass-near-rating') && (
                <AcknowledgeMass socket={socket.data} onDone={setDone} />
              )}
              {socket.data.openFindings.map((finding) => (
                <AcceptFinding
                  key={finding.id}
                  socket={socket.data}
                  finding={finding}
                  onDone={setDone}
                />
              ))}
              {gate.data.open && <Deliver order={there} socket={socket.data} onDone={setDone} />}
            </>
          )}
        </>
      )}
    </Sheet>
  );
}

function Missing({ gate, order }: { gate: Gate; order: Schemas['Order'] }) {
  const { fitting: say } = words.value;
  if (gate.open) return <p class="caution">{say.gateOpen}</p>;
  return (
    <section aria-label={say.missingTitle}>
      <h2>{say.missingCount(gate.missing.length)}</h2>
      <Help of={say.missingTitle}>{words.value.help.gate}</Help>
      <ol class="missing">
        {gate.missing.map((each) => {
          const { detail, wayOut } = each;
          const way = wayTo(each, order, gate.socketId);
          return (
            <li key={detail}>
              <strong>{detail}</strong>
              <p>
                {wayOut}{' '}
                {way !== undefined && (
                  <Link class="touch" href={way.href}>
                    {say.ways[way.to]}
                  </Link>
                )}
              </p>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
