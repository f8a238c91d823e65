/** The promised day of an order, and how it stands with it, in words. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { Facts, WentWrong } from '../parts/sheet.tsx';
import { Help } from '../parts/help.tsx';
import { chanceWords, dayWords, words } from '../words/words.ts';
import { may } from '../session/session.ts';
import { AnotherDay } from './AnotherDay.tsx';
import type { Order } from './order.ts';
import { offeredWords } from './PromisedDay.tsx';

type Dated = Schemas['OrderDate'];

export function Standing({ order }: { readonly order: Order }) {
  const { id: orderId } = order;
  const { data, error, refetch } = useQuery({
    queryKey: ['order', orderId, 'date'],
    queryFn: () =>
      answered(api.GET('/api/v1/orders/{orderId}/date', { params: { path: { orderId } } })),
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return null;
  return (
    <>
      <Told of={data} />
      {data.offer !== null && may('front_desk', 'prosthetist') && (
        <AnotherDay order={order} offer={data.offer} />
      )}
    </>
  );
}

function Told({ of }: { readonly of: Dated }) {
  const { desk: say, orders } = words.value;
  const { promisedOn, firstPromisedOn, standing, offer, offeredChance, stage } = of;
  const against = standing?.state === 'late' || standing?.state === 'at_risk';
  const closed = stage === 'delivered' || stage === 'cancelled' ? say.closed[stage] : '';
  return (
    <div class={against ? 'problem' : 'caution'}>
      <div class="promised">
        {say.promised}: <b>{promisedOn === null ? orders.noDay : dayWords(promisedOn)}</b>
      </div>
      <strong>{standing === null ? closed : say.standing[standing.state]}</strong>
      {standing?.because.map(({ code, detail, wayOut }) => (
        <p key={code}>
          {detail} {wayOut}
        </p>
      ))}
      <Facts
        of={[
          [say.chanceNow, standing?.chance == null ? null : chanceWords(standing.chance)],
          [say.offeredWith, offeredChance === null ? null : chanceWords(offeredChance)],
          [
            say.firstPromised,
            firstPromisedOn === null || firstPromisedOn === promisedOn
              ? null
              : dayWords(firstPromisedOn),
          ],
          [say.inStage, standing === null ? null : say.workingDays(standing.workingDaysSoFar)],
          [
            say.couldPromise,
            against && offer !== null ? offeredWords(offer.withChance ?? offer.usual) : null,
          ],
        ]}
      />
      {standing?.chance != null && <Help of={say.chanceNow}>{words.value.help.chance}</Help>}
    </div>
  );
}
