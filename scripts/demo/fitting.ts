/** From the cast to the accepted fit. */
import type { CastToTake } from '../../src/features/casts/schemas.ts';
import type { FitReason, Level, LimbArea } from '../../src/domain/words.ts';
import { acceptCast, rejectCast, takeCast } from '../../src/features/casts/service.ts';
import { acknowledgeMass } from '../../src/features/delivery/service.ts';
import { disposeOfFinding, reportFinding } from '../../src/features/findings/service.ts';
import { acceptFit, rejectFit } from '../../src/features/fittings/service.ts';
import { skipCheckFitting } from '../../src/features/orders/flow.ts';
import {
  drawAlignment,
  issueHardware,
  start,
  torque,
  transferFrom,
  tryLock,
  work,
} from './bench.ts';
import type { Chance } from './chance.ts';
import { atBench, reached, takes, type Limb } from './limb.ts';
import { act, signedAct, type Story } from './timeline.ts';

/** Cast, check sockets until one fits, its alignment. */
export function* castAndFit(limb: Limb): Story {
  const { chance, diary, plan, prosthetist } = limb;
  diary.days(chance.whole(2, 5));
  if (takes(limb, 'cast_rejected')) {
    const cast = yield* shapeTaken(limb);
    yield* act(diary.days(1), prosthetist, (opened) =>
      rejectCast(opened, cast.id, 'The wrap slipped over the tibial crest; cast again.'),
    );
    reached(limb, 'cast_rejected');
    diary.days(chance.whole(1, 3));
  }
  yield* castAccepted(limb);
  reached(limb, 'cast_accepted');
  if (takes(limb, 'fitting_skipped')) {
    yield* signedAct(diary.days(1), prosthetist, (opened, signer) =>
      skipCheckFitting(
        opened,
        limb.orderId,
        'Exact copy of a socket that is worn well; the patient lives far away.',
        signer,
      ),
    );
    return;
  }
  for (let tried = 1; tried <= plan.checkSockets; tried += 1) {
    yield* checkSocket(limb, tried);
    const fits = tried === plan.checkSockets;
    if (fits) reached(limb, 'check_ready');
    diary.days(chance.whole(1, 2));
    if (fits) break;
    yield* reject(limb, tried);
    if (tried === plan.checkSockets - 1) reached(limb, 'fit_rejected');
  }
  if (takes(limb, 'same_socket_changed')) {
    yield* act(diary.at, prosthetist, (opened) =>
      rejectFit(opened, limb.bench.socketId, {
        reasons: ['trim_line_high'],
        areas: ['popliteal'],
        changes: 'Lower the brim behind the knee by 8 mm; try again today.',
        nextStep: 'same_socket_changed',
      }),
    );
    diary.minutes(60, 120);
  }
  const alignment = drawAlignment(chance, plan.side);
  yield* signedAct(diary.at, prosthetist, (opened, signer) =>
    acceptFit(
      opened,
      limb.bench.socketId,
      { alignment, ...(chance.inHundred(30) ? { note: 'Walked the corridor twice.' } : {}) },
      signer,
    ),
  );
  limb.accepted = alignment;
  reached(limb, 'fit_accepted');
}

function* shapeTaken(limb: Limb) {
  const { chance, diary, plan, prosthetist } = limb;
  const cast = castOf(chance, plan.level);
  return yield* act(diary.at, prosthetist, (opened) =>
    takeCast(opened, limb.orderId, { ...cast, takenOn: diary.day }),
  );
}

function* castAccepted(limb: Limb): Story {
  const cast = yield* shapeTaken(limb);
  reached(limb, 'cast_taken');
  yield* act(limb.diary.days(1), limb.prosthetist, (opened) => acceptCast(opened, cast.id));
}

/** Circumferences from the distal end upwards, as no real limb's. */
function castOf(chance: Chance, level: Level): Omit<CastToTake, 'takenOn'> {
  const above = level !== 'trans_tibial';
  const stepMm = 30;
  const limbLengthMm = above ? chance.whole(210, 320) : chance.whole(120, 190);
  let circumferenceMm = above ? chance.whole(310, 390) : chance.whole(200, 260);
  const measures = Array.from({ length: Math.floor(limbLengthMm / stepMm) }, (_, at) => {
    const measure = { heightMm: (at + 1) * stepMm, circumferenceMm };
    circumferenceMm += chance.whole(4, above ? 24 : 18);
    return measure;
  });
  return {
    method: chance.one(['plaster', 'plaster', 'fibreglass', 'scan']),
    limbLengthMm,
    measures,
  };
}

function* checkSocket(limb: Limb, tried: number): Story {
  const { bench, chance, diary } = limb;
  const earlier = bench.socketId;
  const last = tried === limb.plan.checkSockets;
  yield* act(diary.days(chance.whole(1, 2)), atBench(limb), async (opened) => {
    await start(opened, bench, limb.orderId, 'check');
    await work(opened, bench, ['prepare_model']);
  });
  if (last) reached(limb, 'check_started');
  yield* act(diary.days(1), atBench(limb), (opened) => work(opened, bench, ['thermoform']));
  if (tried === 1 && takes(limb, 'check_scrapped')) yield* scrapAndForm(limb);
  if (last) reached(limb, 'check_formed');
  yield* acknowledgeIfNear(limb);
  yield* act(diary.minutes(40, 90), atBench(limb), async (opened) => {
    if (tried > 1) await transferFrom(opened, bench, earlier);
    await issueHardware(opened, bench);
  });
  const technician = atBench(limb);
  if (tried === 1 && takes(limb, 'torque_out_of_band')) {
    yield* act(diary.minutes(5, 15), technician, (opened) =>
      torque(opened, bench, diary.index, { joints: ['distal'], misses: true }),
    );
  }
  if (tried === 1 && takes(limb, 'lock_failed_first')) {
    yield* act(diary.minutes(5, 10), technician, (opened) => tryLock(opened, bench, true));
  }
  yield* act(diary.minutes(10, 30), technician, async (opened) => {
    await torque(opened, bench, diary.index);
    await tryLock(opened, bench);
    await work(opened, bench, ['trim_edges', 'fit_hardware', 'check_lock', 'torque_joints']);
  });
}

/** A crack shows when the sheet has cooled: the prosthetist scraps it, another is formed. */
function* scrapAndForm(limb: Limb): Story {
  const { bench, diary } = limb;
  const finding = yield* act(diary.minutes(60, 90), atBench(limb), (opened) =>
    reportFinding(opened, bench.socketId, {
      kind: 'crack',
      note: 'Crack from the brim down, 40 mm long, after cooling.',
    }),
  );
  yield* act(diary.minutes(20, 60), limb.prosthetist, (opened) =>
    disposeOfFinding(opened, finding.findingId, {
      disposition: 'scrap',
      why: 'Cannot be tried on; form another.',
    }),
  );
  yield* act(diary.days(1), atBench(limb), async (opened) => {
    await start(opened, bench, limb.orderId, 'check');
    await work(opened, bench, ['prepare_model', 'thermoform']);
  });
}

/** From 90 % of a part's rating on, the prosthetist signs for it before it goes in (R3). */
export function* acknowledgeIfNear(limb: Limb): Story {
  const { bench, diary, house, patient } = limb;
  if (bench.hardware !== 'lockOne' || patient.massKg < 90) return;
  yield* signedAct(diary.minutes(5, 20), limb.prosthetist, (opened, signer) =>
    acknowledgeMass(opened, bench.socketId, house.partIds.lockOne, signer),
  );
}

interface Rejection {
  readonly reasons: readonly FitReason[];
  readonly areas: readonly LimbArea[];
  readonly changes: string;
}
const REJECTIONS: readonly Rejection[] = [
  {
    reasons: ['too_tight', 'pain'],
    areas: ['fibular_head'],
    changes: 'Relieve the fibular head by 4 mm; three per cent more volume above it.',
  },
  {
    reasons: ['pistoning', 'too_loose'],
    areas: ['whole_limb'],
    changes: 'Take the model down by two per cent; check the liner.',
  },
  {
    reasons: ['distal_end_contact', 'skin_redness'],
    areas: ['distal_end', 'tibial_end'],
    changes: 'Lengthen the distal end by 6 mm.',
  },
  {
    reasons: ['no_distal_contact'],
    areas: ['distal_end'],
    changes: 'Shorten the distal end by 5 mm; total contact is wanted.',
  },
  {
    reasons: ['rotation', 'trim_line_low'],
    areas: ['medial_tibial_flare', 'proximal_brim'],
    changes: 'Raise the brim; build up the medial flare.',
  },
];

function* reject(limb: Limb, tried: number): Story {
  const { chance, diary, bench } = limb;
  const newCast = tried === 1 && takes(limb, 'new_cast_at_fitting');
  const why = chance.one(REJECTIONS);
  yield* act(diary.at, limb.prosthetist, (opened) =>
    rejectFit(opened, bench.socketId, {
      ...why,
      nextStep: newCast ? 'new_cast' : 'another_check_socket',
    }),
  );
  if (!newCast) return;
  diary.days(chance.whole(1, 3));
  yield* castAccepted(limb);
}
