/**
 * The fittings book of the last weeks and the coming ones: each morning the desk says who
 * came, moves what had to be moved, and books those who wait.
 */
import { findFree, readBook } from '../../src/features/appointments/read.ts';
import type { AppointmentView } from '../../src/features/appointments/schemas.ts';
import { book, mark, move } from '../../src/features/appointments/service.ts';
import { addDays, dayAt } from '../../src/domain/days.ts';
import type { AppointmentPurpose } from '../../src/domain/words.ts';
import type { Act } from '../../src/store/act.ts';
import { listOrders, type OrderQuery } from '../../src/store/orderList.ts';
import type { ListedOrder } from '../../src/store/orders.ts';
import { chanceOf, type Chance } from './chance.ts';
import type { House } from './house.ts';
import { act, type Story } from './timeline.ts';

/** Working days that the book goes back. */
const WORKDAYS_BACK = 20;
/** Bookings of one morning, at most; on the last one everybody who waits is called. */
const BOOKED_A_DAY = 3;
const BOOKED_ON_THE_LAST = 20;
const MINUTE_OF_THE_DESK = 8 * 60 + 5;

/** The desk's mornings, one story. */
export function* deskMornings(house: House): Story {
  const { days } = house.workdays;
  for (let index = Math.max(0, days.length - WORKDAYS_BACK); index < days.length; index += 1) {
    const chance = chanceOf(house.seed, `book ${String(index)}`);
    yield* act(house.workdays.at(index, MINUTE_OF_THE_DESK), house.people.desk, (opened) =>
      morning(opened, chance, house, index === days.length - 1),
    );
  }
}

async function morning(opened: Act, chance: Chance, house: House, isLast: boolean): Promise<void> {
  const today = dayAt(opened.at, house.workdays.timeZone);
  const span = { from: addDays(today, -14), to: addDays(today, 70) };
  const items = (await readBook(opened, span)).items.filter(({ state }) => state === 'booked');
  for (const each of items) await settle(opened, chance, each);
  const [next] = items.filter(({ startsAt }) => startsAt > opened.at);
  if (next !== undefined && chance.inHundred(25)) await moved(opened, next);
  const waits = new Set(items.flatMap(({ order }) => (order === null ? [] : [order.id])));
  const orders = await listOrders(opened, UNDER_WAY);
  const unbooked = orders.filter(({ id, holdReason }) => !waits.has(id) && holdReason === null);
  const most = isLast ? BOOKED_ON_THE_LAST : BOOKED_A_DAY;
  for (const order of unbooked.slice(0, most)) await booked(opened, order);
}

/** What was to be before this morning: most came. */
async function settle(opened: Act, chance: Chance, each: AppointmentView): Promise<void> {
  if (each.startsAt >= opened.at) return;
  await mark(opened, each.id, { state: chance.inHundred(92) ? 'came' : 'did_not_come' });
}

async function moved(opened: Act, { id, order, purpose }: AppointmentView): Promise<void> {
  if (order === null) return;
  const { items } = await findFree(opened, { ...ASKED, purpose, orderId: order.id, perStretch: 2 });
  const time = items[1];
  if (time === undefined) return;
  await move(opened, id, { startsAt: time.startsAt, why: 'The patient asked for another day.' });
}

const UNDER_WAY: OrderQuery = {
  stage: 'under_way',
  held: null,
  lateOn: null,
  notLateOn: null,
  among: null,
  notAmong: null,
  pressing: [],
  number: null,
  chartNumber: null,
  patientId: null,
  prosthetistId: null,
  sort: 'opened',
  after: null,
  take: 200,
};
const ASKED = { days: 40, perStretch: 1, most: 4 };
const PURPOSE_AT: Readonly<Partial<Record<ListedOrder['stage'], AppointmentPurpose>>> = {
  casting: 'casting',
  check_fitting: 'check_fitting',
  lamination: 'delivery',
  delivery: 'delivery',
};

async function booked(opened: Act, { id: orderId, stage }: ListedOrder): Promise<void> {
  const purpose = PURPOSE_AT[stage];
  if (purpose === undefined) return;
  const { items } = await findFree(opened, { ...ASKED, purpose, orderId });
  const [time] = items;
  if (time !== undefined) await book(opened, { orderId, purpose, startsAt: time.startsAt });
}
