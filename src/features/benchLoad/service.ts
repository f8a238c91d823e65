/** The load of the benches by day: all that waits, against who is there to do it (C5). */
import { benchLoad, type BenchDay, type WorkToPlan } from '../../domain/benchLoad.ts';
import { planWork, type WaitingOperation } from '../../domain/benchPlan.ts';
import { addDays, dayAt, daysBetween, isBefore, type Day } from '../../domain/days.ts';
import { presentStay } from '../../domain/orderTimeline.ts';
import { groupBy } from '../../domain/quality.ts';
import { questionRange, type Range } from '../../domain/ranges.ts';
import { reason } from '../../domain/reasons/index.ts';
import { workingDaysBetween, type WorkCalendar } from '../../domain/workCalendar.ts';
import type { Act } from '../../store/act.ts';
import { listBenches, openWork, type BenchRecord, type OpenWork } from '../../store/benches.ts';
import { loadClinic, usualStageDays } from '../../store/clinic.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadTimelines } from '../../store/timelines.ts';
import { currentWorkCalendar } from '../../store/workCalendar.ts';
import type { BenchLoadQuery } from './schemas.ts';

const WINDOW: Range = {
  what: 'Days from the first to the last',
  least: 1,
  greatest: 62,
  unit: 'days',
  usual: 'two weeks',
};
const TWO_WEEKS = 13;

/** The load of a window of days, and what waits and is in none of its figures. */
export interface BenchLoad {
  readonly today: Day;
  readonly from: Day;
  readonly to: Day;
  readonly items: readonly BenchDay[];
  readonly leftOut: {
    readonly onHold: readonly string[];
    readonly notPlanned: readonly { readonly order: string; readonly operation: string }[];
  };
}

/** @throws Refused 'day-order-wrong', 'value-out-of-range'. */
export async function readBenchLoad(act: Act, query: BenchLoadQuery): Promise<BenchLoad> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const today = dayAt(act.at, clinic.timeZone);
  const { from = today } = query;
  const { to = addDays(from, TWO_WEEKS) } = query;
  refuseInOrder('The first day', from, today, '/from');
  refuseInOrder('The last day', to, from, '/to');
  refuseIfAny(questionRange(daysBetween(from, to) + 1, WINDOW, '/to'));
  const calendar = await currentWorkCalendar(act);
  const waiting = await openWork(act);
  const onHold = waiting.filter(({ holdReason }) => holdReason !== null);
  const free = waiting.filter(({ holdReason }) => holdReason === null);
  const usual = usualStageDays(clinic);
  const work = await planned(act, { calendar, today, usual, timeZone: clinic.timeZone }, free);
  const benches = benchesFor(await listBenches(act.tx, act.clinicId), work);
  const load = orRefuse(benchLoad(calendar, benches, work, { from, to }));
  return {
    today,
    from,
    to,
    items: load.map((item) => ({
      ...item,
      plannedMinutes: Math.round(item.plannedMinutes * 10) / 10,
    })),
    leftOut: {
      onHold: [...new Set(onHold.map(({ order }) => order))],
      notPlanned: free
        .filter((operation) => atBench(operation).length === 0)
        .map(({ order, operation }) => ({ order, operation })),
    },
  };
}

function refuseInOrder(what: string, day: Day, earliest: Day, field: string): void {
  if (!isBefore(day, earliest)) return;
  throw new Refused([reason('day-order-wrong', { what, day, earliest }, field)]);
}

interface Planning {
  readonly calendar: WorkCalendar;
  readonly today: Day;
  readonly usual: ReturnType<typeof usualStageDays>;
  readonly timeZone: string;
}

async function planned(
  act: Act,
  { calendar, today, usual, timeZone }: Planning,
  waiting: readonly OpenWork[],
): Promise<WorkToPlan[]> {
  // From today on: those under way, and hardly any other.
  const asked = { clinicId: act.clinicId, timeZone, since: today };
  const stays = new Map(
    (await loadTimelines(act.tx, asked)).map((timeline) => [timeline.order, presentStay(timeline)]),
  );
  return [...groupBy(waiting, ({ orderId }) => orderId)].flatMap(([orderId, ofOrder]) => {
    const stay = stays.get(orderId);
    const [first] = ofOrder;
    if (stay == null || first === undefined) return [];
    return planWork(calendar, today, usual, {
      order: first.order,
      stage: stay.stage,
      workingDaysSoFar: workingDaysBetween(calendar, stay.from, today),
      promisedOn: first.promisedOn,
      operations: ofOrder.flatMap(atBench),
    });
  });
}

/** The operation as it can be planned; nothing where bench or minutes are missing. */
const atBench = ({ bench, plannedMinutes, ...operation }: OpenWork): WaitingOperation[] =>
  bench === null || plannedMinutes === null ? [] : [{ ...operation, bench, plannedMinutes }];

/** Those in use, and those given up that work still waits at: nobody is there. */
const benchesFor = (benches: readonly BenchRecord[], work: readonly WorkToPlan[]) =>
  benches
    .filter(({ active, name }) => active || work.some(({ bench }) => bench === name))
    .map(({ name, people, active }) => ({ name, people: active ? people : 0 }));
