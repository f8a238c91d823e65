/** Quality figures of a window of days (C8): counted here, judged in the domain. */
import { daysBetween, isBefore } from '../../domain/days.ts';
import type { WORK_STAGES } from '../../domain/orderTimeline.ts';
import { workingDaysByStage } from '../../domain/orderTimeline.ts';
import {
  checkSocketsPerOrder,
  countByCause,
  firstFitRate,
  groupBy,
  individualsChart,
  judgeGrouping,
  monthOf,
  onTimeRate,
  proportion,
  turnaround,
  type OrderForQuality,
} from '../../domain/quality.ts';
import { questionRange } from '../../domain/ranges.ts';
import { reason } from '../../domain/reasons/index.ts';
import { workingDaysBetween, type WorkCalendar } from '../../domain/workCalendar.ts';
import { controlChartFigure } from '../../documents/figures/controlChart.ts';
import type { Figure } from '../../documents/figures/figure.ts';
import { sharesFigure } from '../../documents/figures/shares.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import {
  attemptsByPerson,
  causesIn,
  deliveredOrders,
  type DeliveredOrder,
} from '../../store/quality.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { currentWorkCalendar } from '../../store/workCalendar.ts';
import {
  WINDOW_MOST_DAYS,
  type ChartQuery,
  type QualityQuery,
  type QualityView,
} from './schemas.ts';

const WINDOW = {
  what: 'Days from the first to the last',
  least: 1,
  greatest: WINDOW_MOST_DAYS,
  unit: 'days',
  usual: 'a quarter or a year',
};

/** @throws Refused 'quality-by-person-not-allowed', 'day-order-wrong', 'value-out-of-range'. */
export async function qualityOf(act: Act, query: QualityQuery): Promise<QualityView> {
  const { from, to, by } = query;
  refuseWindow(query);
  const { timeZone, figuresByPerson } = await loadClinic(act.tx, act.clinicId);
  if (by !== undefined) orRefuse(judgeGrouping(by, figuresByPerson));
  const window = { from, to, timeZone };
  const orders = await deliveredWithDays(act, window);
  const causes = await causesIn(act, window);
  const people = by === undefined ? null : await attemptsByPerson(act, window);
  const stage = (of: (typeof WORK_STAGES)[number]) =>
    turnaround(orders.map(({ byStage }) => byStage[of]));
  return {
    from,
    to,
    orders: orders.length,
    firstFit: firstFitRate(orders),
    onTime: onTimeRate(orders),
    checkSockets: checkSocketsPerOrder(orders),
    turnaround: {
      all: turnaround(orders.map(({ workingDays }) => workingDays)),
      casting: stage('casting'),
      check_fitting: stage('check_fitting'),
      lamination: stage('lamination'),
      delivery: stage('delivery'),
    },
    months: [...groupBy(orders, ({ deliveredOn }) => monthOf(deliveredOn))].map(
      ([month, ofMonth]) => ({
        month,
        orders: ofMonth.length,
        firstFit: firstFitRate(ofMonth),
        onTime: onTimeRate(ofMonth),
        turnaround: turnaround(ofMonth.map(({ workingDays }) => workingDays)),
      }),
    ),
    causes: {
      findings: countByCause(causes.findings),
      refusedFits: countByCause(causes.refusedFits),
      remakes: countByCause(causes.remakes),
    },
    technicians:
      people?.map(({ person, attempts, stopped }) => ({
        technician: person,
        stopped: proportion(stopped, attempts),
      })) ?? null,
  };
}

/** More points than these cannot be told apart on a page. */
const CHARTED_MOST = 200;

/** The control chart of turnaround, of the last orders where there are many. @throws Refused 'too-few-to-chart'. */
export async function turnaroundChart(act: Act, query: ChartQuery): Promise<Figure> {
  refuseWindow(query);
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const delivered = await deliveredWithDays(act, { ...query, timeZone });
  const orders = delivered.slice(-CHARTED_MOST);
  const chart = individualsChart(orders.map(({ workingDays }) => workingDays));
  if (chart === null) throw new Refused([reason('too-few-to-chart', { orders: orders.length })]);
  return controlChartFigure(
    `Turnaround, ${query.from} to ${query.to}`,
    orders.map(({ deliveredOn, workingDays }) => ({ label: deliveredOn, value: workingDays })),
    chart,
    delivered.length,
  );
}

/** First fits and promises kept, in all and month by month, with their intervals. */
export async function sharesChart(act: Act, query: ChartQuery): Promise<Figure> {
  refuseWindow(query);
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const orders = await deliveredWithDays(act, { ...query, timeZone });
  const months = [...groupBy(orders, ({ deliveredOn }) => monthOf(deliveredOn))];
  return sharesFigure(`First fits and promises kept, ${query.from} to ${query.to}`, [
    { words: 'first fit accepted', share: firstFitRate(orders) },
    ...months.map(([month, of]) => ({ words: month, share: firstFitRate(of) })),
    { words: 'delivered as promised first', share: onTimeRate(orders) },
    ...months.map(([month, of]) => ({ words: month, share: onTimeRate(of) })),
  ]);
}

function refuseWindow({ from, to }: ChartQuery): void {
  refuseIfAny(
    isBefore(to, from)
      ? [reason('day-order-wrong', { what: 'The last day', day: to, earliest: from }, '/to')]
      : questionRange(daysBetween(from, to) + 1, WINDOW, '/to'),
  );
}

interface Timed extends OrderForQuality {
  readonly deliveredOn: DeliveredOrder['deliveredOn'];
  /** From opening to first delivery. */
  readonly workingDays: number;
  readonly byStage: ReturnType<typeof workingDaysByStage>;
}

async function deliveredWithDays(
  act: Act,
  window: Parameters<typeof deliveredOrders>[1],
): Promise<Timed[]> {
  const calendar = await currentWorkCalendar(act);
  return (await deliveredOrders(act, window)).map((order) => timed(calendar, order));
}

const timed = (calendar: WorkCalendar, row: DeliveredOrder): Timed => ({
  order: row.order,
  fittings: row.fittings,
  checkSockets: row.checkSockets,
  promisedOn: row.firstPromisedOn,
  deliveredOn: row.deliveredOn,
  workingDays: workingDaysBetween(calendar, row.changes[0]?.on ?? row.deliveredOn, row.deliveredOn),
  byStage: workingDaysByStage(calendar, row, row.deliveredOn),
});
