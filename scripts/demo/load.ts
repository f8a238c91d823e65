/** The demo clinic: two years of an invented clinic's work, ending now. */
import { addDays, parseDay, type Day } from '../../src/domain/days.ts';
import { changeClinic, readClinic } from '../../src/features/clinic/service.ts';
import { perform } from '../../src/store/act.ts';
import type { Store } from '../../src/store/open.ts';
import { deskMornings } from './book.ts';
import { chanceOf } from './chance.ts';
import { foundHouse, houseStories } from './found.ts';
import type { House } from './house.ts';
import type { DemoPatient } from './limb.ts';
import { CLINIC, DEMO_PASSWORD, FAMILY_NAMES, GIVEN_NAMES } from './names.ts';
import { orderStory } from './orderStory.ts';
import { planOrders, type Plan } from './plans.ts';
import { UNFINISHED_NAME } from './state.ts';
import { tell } from './timeline.ts';
import { workdaysUntil } from './workdays.ts';

export const DEMO_SEED = 20_260_301;
export interface DemoLoaded {
  readonly clinicId: string;
  readonly people: House['people'];
  readonly acts: number;
  readonly tookMs: number;
}

/**
 * Loads the demo clinic into a migrated database, by the application's own services only.
 * The same seed and `now` give the same story; ids differ.
 */
export async function loadDemo(
  store: Store,
  {
    now,
    seed = DEMO_SEED,
    progress,
    signal,
  }: {
    readonly now: Date;
    readonly seed?: number;
    /** Told after each act: acts so far, and the share of the two years that is told, 0 to 1. */
    readonly progress?: (acts: number, share: number) => void;
    readonly signal?: AbortSignal;
  },
): Promise<DemoLoaded> {
  const began = performance.now();
  const workdays = workdaysUntil(now, CLINIC.timeZone);
  const house = await foundHouse(store, workdays, seed, UNFINISHED_NAME);
  const plans = planOrders(seed, workdays.days.length - 1);
  const patients = FAMILY_NAMES.map((_, index) => patientOf(seed, index, plans));
  const entered = new Set<number>();
  const stories = plans.flatMap((plan) => {
    const patient = patients[plan.patient];
    if (patient === undefined) return [];
    const isFirst = !entered.has(plan.patient);
    entered.add(plan.patient);
    const twin = patients.find(
      (other) => other.index < patient.index && other.familyName === patient.familyName,
    );
    const birthDate = birthDateOf(seed, twin ?? patient);
    return [orderStory(house, plan, patient, { birthDate, twin: twin ?? null }, isFirst)];
  });
  let firstAt: Date | undefined;
  const { acts } = await tell(store, [...houseStories(house), ...stories, deskMornings(house)], {
    now,
    password: DEMO_PASSWORD,
    signal,
    told: (done, at) => {
      firstAt ??= at;
      const whole = now.getTime() - firstAt.getTime();
      progress?.(done, whole <= 0 ? 1 : (at.getTime() - firstAt.getTime()) / whole);
    },
  });
  const { administrator } = house.people;
  await perform(store, administrator, now, async (opened) => {
    const { version } = await readClinic(opened);
    await changeClinic(opened, { name: CLINIC.name }, version);
  });
  return {
    clinicId: administrator.clinicId,
    people: house.people,
    acts,
    tookMs: performance.now() - began,
  };
}

/** The body mass suits the parts that the patient's orders are to have. */
function patientOf(seed: number, index: number, plans: readonly Plan[]): DemoPatient {
  const chance = chanceOf(seed, `patient ${index}`);
  const own = plans.filter((plan) => plan.patient === index);
  const light = own.some((plan) => plan.hardware === 'lockOne');
  const near = own.some((plan) => plan.twists.has('near_rating'));
  const grows = own.some((plan) => plan.twists.has('grew_past_rating'));
  const familyName: string = FAMILY_NAMES[index] ?? '';
  const isTwin = FAMILY_NAMES.filter((name) => name === familyName).length > 1;
  return {
    index,
    id: '',
    familyName,
    givenName: isTwin
      ? FAMILY_NAMES.findIndex((name) => name === familyName) === index
        ? 'Mira'
        : 'Mina'
      : chance.one(GIVEN_NAMES),
    massKg: near ? 93 : grows ? 88 : light ? chance.whole(49, 87) : chance.whole(52, 138),
  };
}

const EARLIEST_BIRTH = parseDay('1938-03-04');

function birthDateOf(seed: number, patient: DemoPatient): Day {
  if (EARLIEST_BIRTH === undefined) throw new RangeError('No such day.');
  return addDays(EARLIEST_BIRTH, chanceOf(seed, `birth ${patient.index}`).whole(0, 24_000));
}
