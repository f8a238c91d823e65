/** From an order to the pages where its work is done: cast, fit, layup, delivery, the bench, the trace. */
import { Link } from 'wouter-preact';
import type { Schemas } from '../api.ts';
import { place } from '../bench/place.ts';
import { castPage, deliveryPage, fitPage, layupPage, tracePage } from '../links.ts';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';

type Order = Schemas['Order'];
type Step = readonly [href: string, said: string];

export function OrderSteps({ order }: { readonly order: Order }) {
  const { fitting: say, audit } = words.value;
  const ofOrder: readonly Step[] = [
    [castPage(order.id), say.castTitle],
    [deliveryPage(order.id), say.deliveryTitle],
    ...(may('front_desk', 'prosthetist', 'auditor', 'administrator')
      ? [[tracePage('order', order.number), audit.traceTitle] as const]
      : []),
  ];
  return (
    <nav aria-label={say.steps}>
      <Steps of={ofOrder} />
      {order.sockets
        .filter(({ state }) => state !== 'scrapped')
        .map((socket) => (
          <Steps key={socket.id} before={socket.number} of={stepsOf(socket)} />
        ))}
    </nav>
  );
}

function stepsOf({ id, kind, state }: Order['sockets'][number]): readonly Step[] {
  const { fitting: say } = words.value;
  return [
    [fitPage(id), kind === 'check' ? say.fitTitle : say.alignmentTitle],
    ...(kind === 'definitive' ? [[layupPage(id), say.layupTitle] as const] : []),
    ...(state === 'in_work' && may('technician', 'prosthetist')
      ? [[place.socket(id), say.bench] as const]
      : []),
  ];
}

const Steps = ({ before, of }: { readonly before?: string; readonly of: readonly Step[] }) => (
  <p class="row">
    {before !== undefined && <strong class="touch">{before}</strong>}
    {of.map(([href, said]) => (
      <Link key={href} class="touch" href={href}>
        {said}
      </Link>
    ))}
  </p>
);
