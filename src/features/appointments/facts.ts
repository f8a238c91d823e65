/** What bookings are judged by: the clinic's day, the others in the book, and whether the work will be done. */
import { dayAt, type Day } from '../../domain/days.ts';
import {
  judgeReadiness,
  TAKES_TIME,
  wayTo,
  type Interval,
  type Readiness,
  type Taken,
} from '../../domain/fittingsBook.ts';
import { usualDaysLeft, workingDaysFor, type StageToCome } from '../../domain/promise.ts';
import { reason } from '../../domain/reasons/index.ts';
import { refused } from '../../domain/verdict.ts';
import { addWorkingDays } from '../../domain/workCalendar.ts';
import type { AppointmentPurpose } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { hasFinishedCheckSocket, listAppointments } from '../../store/appointments.ts';
import type { OrderRecord } from '../../store/orders.ts';
import { prosthetists } from '../../store/orders.ts';
import { Refused } from '../../store/refused.ts';
import { drawing, shopToday, wayFromHere } from '../dates/shop.ts';

/** More than one prosthetist or patient has within the days that are asked for. */
const MOST_TAKEN = 5_000;

/** The appointments of a prosthetist, or of a patient, that take time within a stretch. */
export const takenWithin = async (
  act: Act,
  within: Interval,
  whose: { readonly prosthetistId: string } | { readonly patientId: string },
  except?: string,
): Promise<Taken[]> =>
  (
    await listAppointments(act, {
      within,
      prosthetistId: null,
      patientId: null,
      ...whose,
      orderId: null,
      most: MOST_TAKEN,
    })
  ).filter(({ id, state }) => id !== except && TAKES_TIME.includes(state));

/** @throws Refused 'not-a-prosthetist' */
export async function prosthetistNamed(
  act: Act,
  id: string | null,
): Promise<{ readonly id: string; readonly printedName: string }> {
  const named = (await prosthetists(act)).find((person) => person.id === id);
  if (named !== undefined) return named;
  throw new Refused([
    id === null
      ? reason('no-prosthetist-named', {}, '/prosthetistId')
      : reason('not-a-prosthetist', { personId: id }, '/prosthetistId'),
  ]);
}

/** Whether what is made for a purpose will be there on a day, for as many days as are asked. */
export interface ReadyBy {
  /** The first day by which it probably is; today where nothing is waited for. */
  readonly from: Day;
  readonly judge: (startsAt: Date) => Readiness;
}

const NOTHING_AWAITED: Readiness = { chance: null, warnings: [] };

/** One draw of the clinic's history answers for every day (C5). */
export async function readyBy(
  act: Act,
  purpose: AppointmentPurpose,
  order: OrderRecord | null,
  timeZone: string,
): Promise<ReadyBy> {
  const today = dayAt(act.at, timeZone);
  const made =
    order === null ||
    (purpose === 'check_fitting' && (await hasFinishedCheckSocket(act, order.id)));
  if (made) return { from: today, judge: () => NOTHING_AWAITED };
  const shop = await shopToday(act);
  const way: StageToCome[] = wayTo(purpose, wayFromHere(shop, order.id));
  if (way.length === 0) return { from: today, judge: () => NOTHING_AWAITED };
  const { holdReason } = order;
  const forecast =
    holdReason === null
      ? drawing(shop, shop.seed)(way)
      : refused([reason('no-chance-on-hold', { holdReason })]);
  const workingDays = forecast.ok
    ? workingDaysFor(forecast.value, shop.wantedChance)
    : Math.ceil(usualDaysLeft(way, shop.usualDays));
  return {
    from: addWorkingDays(shop.calendar, today, workingDays),
    judge: (startsAt) =>
      judgeReadiness(
        { purpose, startsAt },
        {
          ...shop,
          order: order.number,
          now: act.at,
          timeZone,
          way,
          forecast,
          wantedBelow: shop.atRiskBelow,
        },
      ),
  };
}
