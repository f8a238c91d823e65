/** From the accepted fit to the limb that is ready to be signed for. */
import {
  disposeOfFinding,
  acceptFinding,
  reportFinding,
} from '../../src/features/findings/service.ts';
import { acceptAlignmentDifference } from '../../src/features/fittings/alignmentDifference.ts';
import { leaveOutOperation } from '../../src/features/sockets/operations.ts';
import {
  drawAlignment,
  hasLock,
  issueHardware,
  measureAgain,
  mountDummy,
  operationOf,
  pullDummy,
  putBack,
  start,
  takeOut,
  torque,
  transferFrom,
  tryLock,
  work,
} from './bench.ts';
import { acknowledgeIfNear } from './fitting.ts';
import { layupApproved, layupDrafted } from './layup.ts';
import { atBench, reached, takes, type Limb } from './limb.ts';
import { resinWeighed } from './resin.ts';
import { act, signedAct, type Story } from './timeline.ts';

/** The definitive socket, with all that it goes through. */
export function* laminateAndBuild(limb: Limb): Story {
  const { bench, chance, diary } = limb;
  const tried = bench.holds.size > 0 ? bench.socketId : null;
  diary.days(chance.whole(1, 3));
  yield* laminate(limb);
  if (takes(limb, 'laminate_remade')) {
    yield* remakeForDryFibre(limb);
    yield* laminate(limb);
  }
  yield* act(diary.minutes(20, 60), atBench(limb), (opened) =>
    work(opened, bench, ['break_out_model', 'inspect_chamber']),
  );
  reached(limb, 'inspected');
  diary.days(1);
  yield* roughEdge(limb);
  yield* hardwareIn(limb, tried);
  reached(limb, 'hardware_in');
  yield* acceptStreak(limb);
  yield* trimAgain(limb);
  yield* torqueAndCheck(limb);
  reached(limb, 'torqued');
  yield* act(diary.minutes(10, 40), atBench(limb), (opened) =>
    work(opened, bench, [
      'fit_hardware',
      'check_lock',
      'torque_joints',
      'measure_alignment',
      'finish',
    ]),
  );
  if (takes(limb, 'rattle_open')) {
    yield* act(diary.minutes(10, 30), limb.prosthetist, (opened) =>
      reportFinding(opened, bench.socketId, {
        kind: 'rattle',
        note: 'Rattles when set down; seems to come from the button.',
      }),
    );
  }
  reached(limb, 'finished');
}

function* laminate(limb: Limb): Story {
  const { bench, chance, diary } = limb;
  const withLock = hasLock(bench);
  yield* act(diary.at, atBench(limb), async (opened) => {
    await start(opened, bench, limb.orderId, 'definitive');
    await work(opened, bench, ['prepare_model', 'seal_model']);
  });
  const layupId = yield* layupDrafted(limb);
  reached(limb, 'sealed');
  diary.days(1);
  yield* layupApproved(limb, layupId);
  let dummyId = '';
  yield* act(diary.at, atBench(limb), async (opened) => {
    if (withLock) dummyId = await mountDummy(opened, bench);
    await work(opened, bench, ['mount_dummy', 'lay_up']);
  });
  reached(limb, 'laid_up');
  const technician = atBench(limb);
  yield* resinWeighed(limb, technician);
  yield* act(diary.minutes(5, 10), technician, (opened) => work(opened, bench, ['laminate']));
  reached(limb, 'laminated');
  diary.days(1);
  if (limb.plan.until === 'finding_at_cure') yield* openVoid(limb);
  reached(limb, 'finding_at_cure');
  if (takes(limb, 'operation_left_out')) yield* grindingLeftOut(limb);
  yield* act(diary.minutes(10, 30), atBench(limb), async (opened) => {
    await work(opened, bench, takes(limb, 'operation_left_out') ? [] : ['cure', 'grind_flush']);
    if (withLock) await pullDummy(opened, bench, dummyId);
    await work(opened, bench, ['pull_dummy']);
  });
  reached(limb, 'dummy_out');
  diary.minutes(5, chance.whole(10, 60));
}

function* grindingLeftOut(limb: Limb): Story {
  const { bench, diary } = limb;
  yield* act(diary.at, atBench(limb), (opened) => work(opened, bench, ['cure']));
  const grinding = operationOf(bench, 'grind_flush')?.id ?? '';
  yield* act(diary.minutes(5, 20), limb.prosthetist, (opened) =>
    leaveOutOperation(opened, grinding, 'The end came out flat; nothing is to be taken off.'),
  );
}

function* openVoid(limb: Limb): Story {
  const { bench, diary } = limb;
  yield* act(diary.at, atBench(limb), (opened) => work(opened, bench, ['cure']));
  yield* act(diary.minutes(10, 30), atBench(limb), (opened) =>
    reportFinding(opened, bench.socketId, {
      kind: 'void',
      note: 'Void 12 mm across, medial, 60 mm above the end. The prosthetist is to decide.',
      operationId: operationOf(bench, 'grind_flush')?.id,
    }),
  );
}

function* remakeForDryFibre(limb: Limb): Story {
  const { bench, diary } = limb;
  const finding = yield* act(diary.minutes(5, 20), atBench(limb), (opened) =>
    reportFinding(opened, bench.socketId, {
      kind: 'dry_fibre',
      note: 'Dry fibre over the whole posterior wall; the vacuum was lost.',
    }),
  );
  yield* act(diary.minutes(10, 60), limb.prosthetist, (opened) =>
    disposeOfFinding(opened, finding.findingId, {
      disposition: 'remake',
      why: 'The wall cannot carry; laminate again over the same model.',
    }),
  );
  diary.days(2);
}

/** An edge that is left rough stops the operation; it is smoothed, and cut again with the others. */
function* roughEdge(limb: Limb): Story {
  if (!takes(limb, 'edges_reworked')) return;
  const { bench, diary } = limb;
  yield* act(diary.at, atBench(limb), (opened) =>
    work(opened, bench, ['trim_edges'], { edges_smooth: false }),
  );
  yield* act(diary.minutes(5, 30), atBench(limb), async (opened) => {
    const open = await opened.tx.finding.findFirstOrThrow({
      where: { clinicId: opened.clinicId, socketId: bench.socketId, disposition: null },
      select: { id: true },
    });
    await disposeOfFinding(opened, open.id, {
      disposition: 'rework',
      why: 'Smoothed and polished behind the knee.',
    });
  });
}

/** Trimmed; then out of the check socket in one transfer, out of the bins where there was none. */
function* hardwareIn(limb: Limb, fromSocketId: string | null): Story {
  const { bench, diary } = limb;
  if (fromSocketId === null) yield* acknowledgeIfNear(limb);
  yield* act(diary.minutes(10, 40), atBench(limb), async (opened) => {
    await work(opened, bench, ['trim_edges']);
    if (fromSocketId === null) await issueHardware(opened, bench);
    else await transferFrom(opened, bench, fromSocketId);
  });
}

function* acceptStreak(limb: Limb): Story {
  if (!takes(limb, 'streak_accepted')) return;
  const { bench, diary } = limb;
  const finding = yield* act(diary.minutes(5, 20), atBench(limb), (opened) =>
    reportFinding(opened, bench.socketId, {
      kind: 'other',
      note: 'Streak of pigment on the outer face, lateral.',
    }),
  );
  yield* signedAct(diary.minutes(10, 60), limb.prosthetist, (opened, signer) =>
    acceptFinding(
      opened,
      finding.findingId,
      'Colour only; the wall is sound and the patient does not mind.',
      signer,
    ),
  );
}

/** The lock comes out for the edges to be trimmed, and goes back: its joints are open again. */
function* trimAgain(limb: Limb): Story {
  const { bench, diary, plan } = limb;
  const now = plan.until === 'lock_out_for_trimming';
  if (!hasLock(bench) || (!now && !takes(limb, 'trimmed'))) return;
  const technician = atBench(limb);
  yield* act(diary.minutes(10, 30), technician, async (opened) => {
    await torque(opened, bench, diary.index);
    await tryLock(opened, bench);
  });
  let piece: Awaited<ReturnType<typeof takeOut>> | undefined;
  yield* act(diary.minutes(10, 60), technician, async (opened) => {
    piece = await takeOut(
      opened,
      bench,
      'lock',
      { kind: 'bench' },
      {
        reason: 'taken_out_for_trimming',
        note: 'Brim to be cut 5 mm lower behind the knee.',
      },
    );
  });
  reached(limb, 'lock_out_for_trimming');
  yield* act(diary.minutes(20, 60), technician, async (opened) => {
    if (piece !== undefined) await putBack(opened, bench, 'lock', piece);
  });
}

function* torqueAndCheck(limb: Limb): Story {
  const { bench, diary } = limb;
  const technician = atBench(limb);
  const again = limb.accepted ?? drawAlignment(limb.chance, limb.plan.side);
  const outside = takes(limb, 'alignment_outside') || takes(limb, 'alignment_signed');
  const alignmentId = yield* act(diary.minutes(10, 30), technician, async (opened) => {
    await torque(opened, bench, diary.index);
    await tryLock(opened, bench, takes(limb, 'lock_fails_now'));
    return measureAgain(opened, bench, again, outside);
  });
  if (!takes(limb, 'alignment_signed')) return;
  yield* signedAct(diary.minutes(10, 60), limb.prosthetist, (opened, signer) =>
    acceptAlignmentDifference(
      opened,
      bench.socketId,
      {
        alignmentId,
        why: 'More flexion is wanted: the patient has a contracture by now.',
      },
      signer,
    ),
  );
}
