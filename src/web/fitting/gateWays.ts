/** Where in the client the way to each missing thing of the delivery gate begins. */
import type { Schemas } from '../api.ts';
import { place } from '../bench/place.ts';
import { castPage, fitPage, orderPage } from '../links.ts';

/** Pages of the bench, by their names there. */
type BenchWay = 'socket' | 'hardware' | 'lock' | 'finding';

type Missing = Schemas['DeliveryGate']['missing'][number];

export interface Way {
  readonly href: string;
  readonly to: 'cast' | 'fit' | 'alignment' | 'order' | 'joint' | 'begin' | BenchWay;
}

/** Missing things that the bench does, and the page of the socket where it does them. */
const AT_THE_BENCH: Readonly<Record<string, BenchWay>> = {
  'operation-not-done': 'socket',
  'finding-open': 'socket',
  'batch-not-good': 'finding',
  'lock-check-not-valid': 'lock',
  'hardware-missing': 'hardware',
  'shop-tool-stays-here': 'hardware',
  'hole-pattern-differs': 'hardware',
  'thread-differs': 'hardware',
  'pin-does-not-fit-lock': 'hardware',
  'mass-over-rating': 'hardware',
  'part-withdrawn': 'hardware',
  'position-takes-another-kind': 'hardware',
  'side-differs': 'hardware',
};

/**
 * @param order with its sockets, the oldest first
 * @param socketId of the socket that would be delivered; null where there is none
 * @returns undefined where no page is the way: the words say what to do
 */
export function wayTo(
  { code, joint }: Missing,
  order: Schemas['Order'],
  socketId: string | null,
): Way | undefined {
  const atTheBench = AT_THE_BENCH[code];
  if (atTheBench !== undefined) {
    return socketId === null ? undefined : { href: place[atTheBench](socketId), to: atTheBench };
  }
  switch (code) {
    case 'joint-open':
    case 'joint-in-doubt':
      return socketId === null || joint === null
        ? undefined
        : { href: place.joint(socketId, joint), to: 'joint' };
    case 'no-definitive-socket':
      // The bench begins one there as soon as the stage asks for it.
      return { href: `/o/${order.number}`, to: 'begin' };
    case 'fit-not-accepted': {
      const onTrial = order.sockets.findLast(
        ({ kind, state }) => kind === 'check' && state === 'in_work',
      );
      return onTrial === undefined
        ? { href: orderPage(order.id), to: 'order' }
        : { href: fitPage(onTrial.id), to: 'fit' };
    }
    case 'limb-change-undecided':
    case 'new-cast-decided':
    case 'measures-do-not-overlap':
      return { href: castPage(order.id), to: 'cast' };
    case 'alignment-missing':
    case 'alignment-out-of-tolerance':
      return socketId === null ? undefined : { href: fitPage(socketId), to: 'alignment' };
    case 'order-on-hold':
    case 'stage-does-not-allow':
      return { href: orderPage(order.id), to: 'order' };
    default:
      return undefined;
  }
}
