/** Delivery, and what comes after it: visits, a lock replaced, a new body mass, a remake. */
import { closeVisit, openRemake, openVisit } from '../../src/features/afterDelivery/service.ts';
import { deliver } from '../../src/features/delivery/service.ts';
import { reportFinding } from '../../src/features/findings/service.ts';
import { measureAlignment } from '../../src/features/fittings/alignment.ts';
import { addBodyMass } from '../../src/features/patients/bodyMass.ts';
import type { ServiceKind } from '../../src/domain/words.ts';
import type { Act } from '../../src/store/act.ts';
import { hasLock, issue, takeOut, torque, tryLock } from './bench.ts';
import { castAndFit } from './fitting.ts';
import { laminateAndBuild } from './lamination.ts';
import { atBench, newBench, takes, type Limb } from './limb.ts';
import { act, signedAct, type Story } from './timeline.ts';

/** Released, signed for and handed over. */
export function* handOver(limb: Limb): Story {
  const { chance, diary, patient } = limb;
  const designee = chance.inHundred(15);
  yield* signedAct(diary.days(chance.whole(1, 4)), limb.prosthetist, (opened, signer) =>
    deliver(
      opened,
      limb.orderId,
      {
        socketId: limb.bench.socketId,
        receivedByName: designee
          ? `${chance.one(['Wren', 'Robin', 'Lark'])} ${patient.familyName}`
          : `${patient.givenName} ${patient.familyName}`,
        receivedByRelation: designee ? chance.one(['daughter', 'son', 'husband']) : 'patient',
      },
      signer,
    ),
  );
}

/** Visits in their time, as far as the plan has them. */
export function* visits(limb: Limb): Story {
  const { chance, diary } = limb;
  if (takes(limb, 'recheck_missed')) return;
  diary.days(chance.whole(9, 14));
  yield* visit(limb, 'follow_up', 'First re-check after delivery.');
  if (takes(limb, 'remade')) {
    yield* remake(limb);
    return;
  }
  if (takes(limb, 'lock_replaced')) {
    diary.days(60);
    yield* replaceLock(limb);
  }
  if (takes(limb, 'grew_past_rating')) {
    yield* act(diary.days(45), limb.house.people.desk, (opened) =>
      addBodyMass(opened, limb.patient.id, {
        massKg: 104,
        measuredOn: diary.day,
        confirmed: false,
      }),
    );
    return;
  }
  if (takes(limb, 'skin_redness_open')) {
    yield* act(diary.days(20), limb.prosthetist, (opened) =>
      reportFinding(opened, limb.bench.socketId, {
        kind: 'skin_redness',
        note: 'Redness over the fibular head after a day of walking.',
      }),
    );
    return;
  }
  for (let year = 0; year < 2; year += 1) {
    diary.days(chance.whole(150, 245));
    const kind = chance.one(['re_torque', 'adjustment', 'follow_up'] as const);
    yield* visit(limb, kind, ROUTINE[kind].note, ROUTINE[kind].bench(limb));
  }
}

type BenchWork = (opened: Act, serviceVisitId: string) => Promise<unknown>;

const ROUTINE = {
  re_torque: {
    note: 'Yearly re-check of the joints.',
    bench: (limb: Limb): BenchWork => {
      const { index } = limb.diary;
      return (opened) => torque(opened, limb.bench, index);
    },
  },
  adjustment: {
    note: 'Alignment looked at after new shoes.',
    bench: ({ accepted, bench }: Limb): BenchWork | undefined =>
      accepted === null
        ? undefined
        : (opened) => measureAlignment(opened, bench.socketId, accepted),
  },
  follow_up: { note: 'Yearly follow-up.', bench: () => undefined },
} as const;

function* visit(limb: Limb, kind: ServiceKind, note: string, bench?: BenchWork): Story {
  const { diary, house, prosthetist } = limb;
  const opened = yield* act(diary.at, house.people.desk, (desk) =>
    openVisit(desk, limb.orderId, { socketId: limb.bench.socketId, kind, note }),
  );
  if (bench !== undefined) {
    yield* act(diary.minutes(10, 40), atBench(limb), (technician) =>
      bench(technician, opened.serviceVisitId),
    );
  }
  yield* signedAct(diary.minutes(10, 30), prosthetist, (signing, signer) =>
    closeVisit(signing, opened.serviceVisitId, OUTCOMES[kind], signer),
  );
}

const OUTCOMES = {
  follow_up: 'Walks well; skin sound; joints marked and unmoved.',
  adjustment: 'Alignment as accepted.',
  re_torque: 'All joints torqued again.',
  part_replaced: 'Lock replaced, torqued and checked.',
} as const satisfies Record<ServiceKind, string>;

function* replaceLock(limb: Limb): Story {
  const { bench, diary, house } = limb;
  if (!hasLock(bench)) return;
  yield* visit(limb, 'part_replaced', 'The button sticks in the cold.', async (opened, visitId) => {
    const old = await takeOut(
      opened,
      bench,
      'lock',
      { kind: 'quarantine' },
      {
        reason: 'replaced_in_service',
        note: 'Button sticks.',
        serviceVisitId: visitId,
      },
    );
    await issue(opened, bench, 'lock', house.shelves.take(old.part), 'issued', visitId);
    await torque(opened, bench, diary.index);
    await tryLock(opened, bench);
  });
}

/** The limb has changed: a new socket from a new cast, under the same order, with new hardware. */
function* remake(limb: Limb): Story {
  const { chance, diary, plan } = limb;
  yield* act(diary.days(30), limb.prosthetist, (opened) =>
    openRemake(opened, limb.orderId, {
      why: 'The limb has shrunk; the patient wears six ply of sock.',
      newCast: true,
    }),
  );
  const again: Limb = {
    ...limb,
    plan: { ...plan, checkSockets: 1, twists: new Set() },
    bench: newBench(limb.house, chance, { hardware: plan.hardware, twists: new Set() }),
    accepted: null,
  };
  yield* castAndFit(again);
  yield* laminateAndBuild(again);
  yield* handOver(again);
}
