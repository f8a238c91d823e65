/** Where is my leg: an order on one sheet. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { patientPage } from '../links.ts';
import { OpenMore } from '../parts/openMore.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { massWords } from '../words/units.ts';
import { birthDayWords, words } from '../words/words.ts';
import { RecordHistory } from '../audit/RecordHistory.tsx';
import { OrderSteps } from '../fitting/OrderSteps.tsx';
import { OrderCorrections } from '../rights/Corrections.tsx';
import { OrderHolds } from '../rights/Holds.tsx';
import { OrderPapers } from '../papers/OrderPapers.tsx';
import { OrderSignatures } from '../signed/OrderSignatures.tsx';
import { OrderFittings } from '../book/OrderFittings.tsx';
import { Caller } from './Caller.tsx';
import { Gate } from './Gate.tsx';
import { Hold } from './Hold.tsx';
import type { Order } from './order.ts';
import { patientWords } from './patients.ts';
import { SideMark } from './SideMark.tsx';
import { Sockets } from './Sockets.tsx';
import { StageNow, StageRail } from './StageRail.tsx';
import { Standing } from './Standing.tsx';
import { Traveller } from './Traveller.tsx';

export function OrderPage({ params: { orderId } }: { params: { orderId: string } }) {
  const {
    data: order,
    error,
    refetch,
  } = useQuery({
    queryKey: ['order', orderId],
    queryFn: () => answered(api.GET('/api/v1/orders/{orderId}', { params: { path: { orderId } } })),
  });
  return (
    <Sheet title={order?.number ?? words.value.desk.order}>
      <WentWrong failure={error} retry={() => void refetch()} />
      {order === undefined ? error === null && <Loading /> : <Told order={order} />}
    </Sheet>
  );
}

function Told({ order }: { readonly order: Order }) {
  const open = order.stage !== 'delivered' && order.stage !== 'cancelled';
  return (
    <>
      <div class="order-head">
        <SideMark side={order.side} />
        <StageNow order={order} />
      </div>
      <StageRail order={order} />
      <Caller order={order} />
      <Standing order={order} />
      <Hold order={order} />
      <OrderFittings orderId={order.id} />
      <OrderFacts order={order} />
      <OpenMore patientId={order.patient.id} isBeside />
      <Traveller order={order} />
      <Sockets order={order} />
      <OrderPapers order={order} />
      <OrderHolds orderId={order.id} />
      <OrderCorrections orderId={order.id} />
      <OrderSteps order={order} />
      {open && <Gate orderId={order.id} />}
      <OrderSignatures orderId={order.id} />
      <RecordHistory subjectKind="order" subjectId={order.id} />
    </>
  );
}

function OrderFacts({ order }: { readonly order: Order }) {
  const { desk: say, levels, suspensions } = words.value;
  const instantWords = useInstantWords();
  const { patient } = order;
  const { data: contact } = useQuery({
    queryKey: ['patient', patient.id],
    enabled: may('front_desk', 'prosthetist'),
    queryFn: () =>
      answered(
        api.GET('/api/v1/patients/{patientId}', { params: { path: { patientId: patient.id } } }),
      ),
  });
  return (
    <Facts
      of={[
        [
          say.patient,
          <>
            <Link href={`/?patient=${patient.id}`}>{patientWords(patient)}</Link>
            {may('front_desk', 'prosthetist', 'auditor', 'administrator') && (
              <>
                {' · '}
                <Link href={patientPage(patient.id)}>{words.value.rights.open}</Link>
              </>
            )}
          </>,
        ],
        [
          say.birthDate,
          patient.birthDate === undefined ? undefined : birthDayWords(patient.birthDate),
        ],
        [say.phone, contact?.phone],
        [say.level, levels[order.level]],
        [say.suspension, suspensions[order.suspension]],
        [say.functionalLevel, order.functionalLevel],
        [say.bodyMassNow, order.bodyMassKg === null ? null : massWords(order.bodyMassKg)],
        [say.liner, order.liner],
        [say.prosthetist, order.prosthetist?.printedName],
        [say.opened, instantWords(order.openedAt)],
        [say.openedBy, order.openedBy],
        [say.note, order.note],
      ]}
    />
  );
}
