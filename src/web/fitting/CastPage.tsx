/** Cast and measures of an order: what is on record, the judgement of a cast, and the next table. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderPage } from '../links.ts';
import { useTodayAtClinic } from '../parts/instants.ts';
import { Done } from '../parts/done.tsx';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { CastList } from './CastList.tsx';
import { CompareDays } from './CompareDays.tsx';
import { LimbChange } from './LimbChange.tsx';
import { MeasureForm } from './MeasureForm.tsx';
import { patientSeen, useOrder } from './order.ts';

export function CastPage({ params: { orderId } }: { params: { orderId: string } }) {
  const { fitting: say, sides, levels, stages } = words.value;
  const [done, setDone] = useState('');
  const today = useTodayAtClinic();
  const order = useOrder(orderId);
  const path = { params: { path: { orderId } } };
  const casts = useQuery({
    queryKey: ['casts', orderId],
    queryFn: () => answered(api.GET('/api/v1/orders/{orderId}/casts', path)),
  });
  const sets = useQuery({
    queryKey: ['measure-sets', orderId],
    queryFn: () => answered(api.GET('/api/v1/orders/{orderId}/measure-sets', path)),
  });
  const failure = order.error ?? casts.error ?? sets.error;
  const there = order.data;
  if (
    there === undefined ||
    casts.data === undefined ||
    sets.data === undefined ||
    today === undefined
  ) {
    return (
      <Sheet title={say.castTitle}>
        {failure === null ? <Loading /> : <WentWrong failure={failure} />}
      </Sheet>
    );
  }
  const limb = `${sides[there.side]} ${levels[there.level]}, ${there.number}`;
  const ofThisLimb = sets.data.items.filter(({ level }) => level === there.level);
  return (
    <Sheet title={`${say.castTitle} · ${there.number}`}>
      <Facts
        of={[
          [say.patient, patientSeen(there.patient)],
          [say.limb, `${sides[there.side]}, ${levels[there.level]}`],
          [say.stage, stages[there.stage]],
          [say.order, <Link href={orderPage(orderId)}>{there.number}</Link>],
        ]}
      />
      <Done said={done} />
      <WentWrong failure={failure} />
      <CastList casts={casts.data.items} limb={limb} onDone={setDone} />
      {sets.data.sinceCast !== null && <LimbChange change={sets.data.sinceCast} onDone={setDone} />}
      {sets.data.notCompared !== null && <p class="caution">{sets.data.notCompared.detail}</p>}
      {ofThisLimb.length > 1 && (
        <CompareDays key={ofThisLimb.length} sets={ofThisLimb} limb={limb} />
      )}
      {may('prosthetist') && there.stage !== 'cancelled' && (
        <>
          <h2>{say.newTable}</h2>
          <MeasureForm
            key={there.stage}
            order={there}
            earlier={ofThisLimb.at(-1)}
            today={today}
            onDone={setDone}
          />
        </>
      )}
    </Sheet>
  );
}
