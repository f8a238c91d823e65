/** One order from the desk to wherever its plan leaves it. */
import { addDays, type Day } from '../../src/domain/days.ts';
import { offerAtOpening } from '../../src/features/dates/service.ts';
import { cancelOrder, putOnHold } from '../../src/features/orders/flow.ts';
import { openOrder } from '../../src/features/orders/service.ts';
import { addPatient } from '../../src/features/patients/service.ts';
import type { Act } from '../../src/store/act.ts';
import { clearOut } from './bench.ts';
import { chanceOf } from './chance.ts';
import { castAndFit } from './fitting.ts';
import { handOver, visits } from './afterwards.ts';
import type { House } from './house.ts';
import { laminateAndBuild } from './lamination.ts';
import { atBench, newBench, StoryStops, type DemoPatient, type Limb } from './limb.ts';
import { fictionalAddress, fictionalPhone } from './names.ts';
import type { Plan } from './plans.ts';
import { act, type Story } from './timeline.ts';
import { Diary } from './workdays.ts';

/** @param isFirst whether the patient is entered with this order */
export function* orderStory(
  house: House,
  plan: Plan,
  patient: DemoPatient,
  person: { readonly birthDate: ReturnType<typeof addDays>; readonly twin: DemoPatient | null },
  isFirst: boolean,
): Story {
  const chance = chanceOf(house.seed, plan.key);
  const diary = new Diary(house.workdays, chance, plan.startsAt);
  const limb: Limb = {
    house,
    plan,
    chance,
    diary,
    patient,
    prosthetist:
      patient.index % 3 === 0 ? house.people.secondProsthetist : house.people.prosthetist,
    orderId: '',
    bench: newBench(house, chance, plan),
    accepted: null,
  };
  if (isFirst) yield* enterPatient(limb, person.birthDate, person.twin);
  yield* open(limb);
  try {
    yield* work(limb);
  } catch (stop) {
    if (!(stop instanceof StoryStops)) throw stop;
  }
  yield* ending(limb);
}

function* work(limb: Limb): Story {
  if (limb.plan.until === 'opened') return;
  yield* castAndFit(limb);
  yield* laminateAndBuild(limb);
  yield* handOver(limb);
  yield* visits(limb);
}

function* enterPatient(
  limb: Limb,
  birthDate: ReturnType<typeof addDays>,
  twin: DemoPatient | null,
): Story {
  const { chance, diary, house, patient } = limb;
  const { id } = yield* act(diary.at, house.people.desk, (opened) =>
    addPatient(opened, {
      chartNumber: `INV-${String(1001 + patient.index * 7)}`,
      givenName: patient.givenName,
      familyName: patient.familyName,
      birthDate,
      phone: fictionalPhone(patient.index),
      address: fictionalAddress(patient.index),
      bodyMass: { massKg: patient.massKg, measuredOn: diary.day },
      notTheSameAs: twin === null ? [] : [twin.id],
    }),
  );
  patient.id = id;
  diary.minutes(2, chance.whole(3, 10));
}

function* open(limb: Limb): Story {
  const { chance, diary, house, patient, plan } = limb;
  const functionalLevel = chance.one(['K1', 'K2', 'K2', 'K3', 'K3', 'K3', 'K4'] as const);
  const { id } = yield* act(diary.at, house.people.desk, async (opened) => {
    const promise = await promiseOf(opened, limb);
    return openOrder(opened, {
      patientId: patient.id,
      side: plan.side,
      level: plan.level,
      suspension: plan.suspension,
      functionalLevel,
      ...promise,
      ...(chance.inHundred(70)
        ? { liner: chance.one(['Liner S, 3 mm (invented)', 'Liner G, 6 mm (invented)']) }
        : {}),
      prosthetistId: limb.prosthetist.personId,
      anotherOpenOrderIsMeant: false,
    });
  });
  limb.orderId = id;
}

/** Most promises are the day that the clinic's history offers; the others a day of the patient's own, further off. */
async function promiseOf(
  opened: Act,
  { chance, diary, house, plan }: Limb,
): Promise<{ promisedOn?: Day; offerSeed?: number }> {
  if (!chance.inHundred(90)) return {};
  const wished = addDays(diary.day, chance.whole(35, 70));
  if (!chanceOf(house.seed, `${plan.key} promise`).inHundred(80)) return { promisedOn: wished };
  const { seed, usual, withChance } = await offerAtOpening(opened, {});
  return { promisedOn: (withChance ?? usual).promisedOn as Day, offerSeed: seed };
}

/** What stands beside the stage at the end: a hold, or the order given up. */
function* ending(limb: Limb): Story {
  const { bench, diary, house, plan } = limb;
  const { hold, cancelledBecause } = plan;
  if (hold !== undefined) {
    yield* act(diary.minutes(20, 60), house.people.desk, (opened) =>
      putOnHold(opened, limb.orderId, { holdReason: hold }),
    );
  }
  if (cancelledBecause === undefined) return;
  if (bench.holds.size > 0) {
    yield* act(diary.days(2), atBench(limb), (opened) => clearOut(opened, bench));
  }
  yield* act(diary.days(1), limb.prosthetist, (opened) =>
    cancelOrder(opened, limb.orderId, cancelledBecause),
  );
}
