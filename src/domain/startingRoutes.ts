/**
 * The routes a new clinic starts with; it may write its own versions. Every
 * number in them is common practice, no source: a starting value that the
 * clinic replaces by what the makers of its materials state.
 */
import type { Check, OperationKind } from './operations.ts';
import type { RouteOperation } from './routeOfWork.ts';
import { SUSPENSIONS, type BatchKind, type SocketKind, type Suspension } from './words.ts';

export interface StartingRoute {
  readonly name: string;
  readonly socketKind: SocketKind;
  readonly suspension: Suspension;
  readonly operations: readonly RouteOperation[];
}

/** An operation before it has its bench. */
type Step = Omit<RouteOperation, 'bench' | 'plannedMinutes'>;

const yes = (key: string, ask: string): Check => ({ kind: 'yes_no', key, ask });
const measured = (
  key: string,
  ask: string,
  unit: string,
  min: number | null,
  max: number | null,
): Check => ({ kind: 'measured', key, ask, unit, min, max });
const batch = (key: string, ask: string, batchKind: BatchKind, amountAsked = false): Check => ({
  kind: 'batch',
  key,
  ask,
  batchKind,
  amountAsked,
});

const FOLLOW = "Follow the maker's instructions and the local rules.";
const CAUTIONS = {
  dust: `Dust: extraction on, mask and goggles. ${FOLLOW}`,
  heat: `Hot oven and sheet: gloves for heat, long sleeves, nobody behind you. ${FOLLOW}`,
  resin: `Resin and hardener: nitrile gloves, goggles, fresh air; a full cup heats by itself. ${FOLLOW}`,
  solvent: `Solvent vapour: fresh air, no flame, closed containers. ${FOLLOW}`,
  saw: `Oscillating saw and router: hold the socket fast, goggles, extraction on. ${FOLLOW}`,
  torque: `Clean, undamaged threads; never force a screw that does not run freely. ${FOLLOW}`,
} as const;

const prepareModel: Step = {
  kind: 'prepare_model',
  title: 'Prepare the model',
  checks: [
    yes('number_on_model', 'Does the model carry the order number and the side?'),
    yes('measures_agree', 'Do the circumferences of the model agree with the measures?'),
  ],
  caution: CAUTIONS.dust,
};

const trimEdges: Step = {
  kind: 'trim_edges',
  title: 'Cut and smooth the trim line',
  checks: [yes('edges_smooth', 'Are the edges smooth and rounded all around?')],
  caution: CAUTIONS.saw,
};

const fitHardware: Step = {
  kind: 'fit_hardware',
  title: 'Put in the hardware',
  checks: [yes('seats_flat', 'Does every part seat flat and every screw start by hand?')],
  caution: CAUTIONS.torque,
};

const checkLock: Step = {
  kind: 'check_lock',
  title: 'Check the lock with its pin',
  checks: [yes('button_reachable', 'Can the wearer reach the release button?')],
  caution: null,
};

const torqueJoints: Step = {
  kind: 'torque_joints',
  title: 'Torque every joint',
  checks: [yes('paint_marked', 'Is every screw head marked after its last pass?')],
  caution: CAUTIONS.torque,
};

function checkRoute(suspension: Suspension): readonly Step[] {
  return [
    prepareModel,
    {
      kind: 'thermoform',
      title: 'Form the check socket over the model',
      checks: [
        batch('sheet', 'Which batch is the sheet from?', 'thermoplastic_sheet'),
        measured('sheet_thickness_mm', 'How thick is the sheet?', 'mm', 9, 16),
        yes('no_bubbles', 'Is the wall free of bubbles, folds and thin spots?'),
      ],
      caution: CAUTIONS.heat,
    },
    trimEdges,
    fitHardware,
    ...(suspension === 'pin_lock' ? [checkLock] : []),
    torqueJoints,
  ];
}

/** Lamination from the sealed model to the ground flush socket. */
function laminationSteps(withDummy: boolean): readonly Step[] {
  const mountDummy: Step = {
    kind: 'mount_dummy',
    title: 'Mount the fabrication dummy',
    checks: [
      yes('dummy_greased', 'Is the dummy sealed and greased so that resin cannot hold it?'),
      yes('dummy_aligned', 'Does it stand as the accepted alignment asks?'),
    ],
    caution: null,
  };
  return [
    prepareModel,
    {
      kind: 'seal_model',
      title: 'Dry and seal the model',
      checks: [
        yes('model_dry', 'Is the model dry?'),
        yes('vacuum_holds', 'Does the inner bag hold vacuum without a leak?'),
        batch('parting_agent', 'Which batch of parting agent?', 'parting_agent'),
      ],
      caution: CAUTIONS.solvent,
    },
    ...(withDummy ? [mountDummy] : []),
    {
      kind: 'lay_up',
      title: 'Lay up the fabrics',
      checks: [
        batch('fabric', 'Which batch of fabric?', 'fabric'),
        yes('layers_counted', 'Are all layers of the layup on, counted by you?'),
      ],
      caution: CAUTIONS.dust,
    },
    {
      kind: 'laminate',
      title: 'Mix, pour and draw the resin through',
      // Batches and grams stand with the cups, which are weighed before this is done (C3).
      checks: [
        measured('vacuum_kpa', 'Vacuum below the room’s pressure', 'kPa', 50, 98),
        yes('wetted_through', 'Is the fabric wetted through everywhere?'),
      ],
      caution: CAUTIONS.resin,
    },
    {
      kind: 'cure',
      title: 'Cure',
      checks: [
        measured('cure_hours', 'For how long?', 'h', 1, 72),
        measured('cure_temperature_c', 'At what temperature?', '°C', 15, 90),
        yes('hard_and_cool', 'Is the laminate hard and cooled to the room?'),
      ],
      caution: CAUTIONS.heat,
    },
    {
      kind: 'grind_flush',
      title: 'Grind the distal end flush',
      checks: [yes('no_layers_cut', 'Is the end flat, with no layer cut through?')],
      caution: CAUTIONS.dust,
    },
  ];
}

const lockChamber: Step = {
  kind: 'inspect_chamber',
  title: 'Inspect the lock chamber',
  checks: [
    yes('chamber_clean', 'Is the lock chamber free of resin and dust?'),
    yes('button_channel_free', 'Is the channel of the release button free?'),
  ],
  caution: CAUTIONS.dust,
};

const distalEnd: Step = {
  kind: 'inspect_chamber',
  title: 'Inspect the distal end',
  checks: [yes('screw_holes_clean', 'Are plate and screw holes free of resin and dust?')],
  caution: CAUTIONS.dust,
};

function definitiveRoute(suspension: Suspension): readonly Step[] {
  const locked = suspension === 'pin_lock';
  const pullDummy: Step = {
    kind: 'pull_dummy',
    title: 'Pull the dummy',
    checks: [yes('dummy_whole', 'Did the dummy come out whole?')],
    caution: null,
  };
  return [
    ...laminationSteps(locked),
    ...(locked ? [pullDummy] : []),
    {
      kind: 'break_out_model',
      title: 'Break out the model',
      checks: [yes('inside_sound', 'Is the inner wall sound, without voids or dry fibre?')],
      caution: CAUTIONS.dust,
    },
    locked ? lockChamber : distalEnd,
    trimEdges,
    fitHardware,
    ...(locked ? [checkLock] : []),
    torqueJoints,
    {
      kind: 'measure_alignment',
      title: 'Measure the alignment',
      checks: [],
      caution: null,
    },
    {
      kind: 'finish',
      title: 'Finish and clean',
      checks: [
        yes('clean', 'Is the socket clean inside and outside?'),
        yes('number_readable', 'Is the socket number on it and readable?'),
      ],
      caution: CAUTIONS.solvent,
    },
  ];
}

/** Where each kind of operation is done (STARTING_BENCHES), and minutes of somebody's work; waiting is none. */
const BENCH_WORK: Readonly<Record<OperationKind, readonly [bench: string, minutes: number]>> = {
  prepare_model: ['Plaster room', 90],
  thermoform: ['Oven', 45],
  trim_edges: ['Grinding', 45],
  fit_hardware: ['Assembly', 30],
  seal_model: ['Plaster room', 30],
  mount_dummy: ['Lamination', 20],
  lay_up: ['Lamination', 60],
  laminate: ['Lamination', 60],
  cure: ['Oven', 15],
  grind_flush: ['Grinding', 20],
  pull_dummy: ['Grinding', 15],
  break_out_model: ['Plaster room', 30],
  inspect_chamber: ['Assembly', 15],
  check_lock: ['Assembly', 10],
  torque_joints: ['Assembly', 20],
  measure_alignment: ['Assembly', 20],
  finish: ['Grinding', 30],
};

const atItsBench = (step: Step): RouteOperation => {
  const [bench, plannedMinutes] = BENCH_WORK[step.kind];
  return { ...step, bench, plannedMinutes };
};

const named = (suspension: Suspension): string => suspension.replaceAll('_', ' ');

/** A check and a definitive route for each suspension. */
export const STARTING_ROUTES: readonly StartingRoute[] = SUSPENSIONS.flatMap((suspension) => [
  {
    name: `Check socket, ${named(suspension)}`,
    socketKind: 'check' as const,
    suspension,
    operations: checkRoute(suspension).map(atItsBench),
  },
  {
    name: `Definitive socket, ${named(suspension)}`,
    socketKind: 'definitive' as const,
    suspension,
    operations: definitiveRoute(suspension).map(atItsBench),
  },
]);
