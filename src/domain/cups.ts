/**
 * C3: the cups of a recipe. Each is weighed, judged, and poured only where its
 * newest reading may be: on ratio, enough, within the cup's limit, or accepted as
 * it is by a prosthetist's signature. A cup that stopped the work is put right (more
 * of what was short, in the same cup) or thrown away and weighed afresh.
 */
import { reason, type Reason } from './reasons/index.ts';
import type { Weighed } from './weighing.ts';
import type { Disposition } from './words.ts';

/**
 * to_weigh: no reading yet · good: may be poured · stopped: a finding is open on it ·
 * accepted: poured as it is, by signature · rejected: its finding was closed otherwise.
 */
export const CUP_STATES = ['to_weigh', 'good', 'stopped', 'accepted', 'rejected'] as const;
export type CupState = (typeof CUP_STATES)[number];

/** One reading of a cup, as far as it says what became of the cup. */
export interface CupReading {
  /** The cup, from 1. */
  readonly pour: number;
  /** Readings of one cup, from 1. */
  readonly attempt: number;
  /** Something stopped the work. */
  readonly stopped: boolean;
  /** How the finding of a stopped reading was closed; null while it is open, and where there is none. */
  readonly disposition: Disposition | null;
}

/** The newest reading of a cup. */
export const newestReading = <T extends Pick<CupReading, 'pour' | 'attempt'>>(
  readings: readonly T[],
  pour: number,
): T | undefined =>
  readings
    .filter((reading) => reading.pour === pour)
    .reduce<T | undefined>(
      (newest, reading) =>
        newest === undefined || reading.attempt > newest.attempt ? reading : newest,
      undefined,
    );

function stateOf(newest: CupReading | undefined): CupState {
  if (newest === undefined) return 'to_weigh';
  if (!newest.stopped) return 'good';
  if (newest.disposition === null) return 'stopped';
  return newest.disposition === 'accept_as_is' ? 'accepted' : 'rejected';
}

/** The state of each cup of a recipe, in the order of its pours. */
export const cupStates = (pours: number, readings: readonly CupReading[]): CupState[] =>
  Array.from({ length: pours }, (_, index) => stateOf(newestReading(readings, index + 1)));

const mayBePoured = (state: CupState): boolean => state === 'good' || state === 'accepted';

/** The cups, from 1, that may not be poured yet. */
export const cupsLacking = (states: readonly CupState[]): number[] =>
  states.flatMap((state, index) => (mayBePoured(state) ? [] : [index + 1]));

const LACKING = {
  to_weigh: 'not weighed',
  good: 'good',
  stopped: 'stopped by a finding',
  accepted: 'accepted as it is',
  rejected: 'rejected, to be weighed again',
} as const satisfies Record<CupState, string>;

/** The recipe that stands, as far as it is asked for here. */
export interface StandingRecipe {
  readonly running: number;
  /** Worked out from the layup that stands. */
  readonly ofLayup: boolean;
  /** Of its cups, in their order. */
  readonly states: readonly CupState[];
}

/** What of the resin keeps a socket from being laminated, in words; null where nothing does. */
export function resinLacking(recipe: StandingRecipe | null): string | null {
  if (recipe === null) return 'no resin recipe is on record';
  const { running, ofLayup, states } = recipe;
  if (!ofLayup) return `recipe ${running} is not for the layup that stands`;
  const lacking = states.flatMap((state, index) =>
    mayBePoured(state) ? [] : [`cup ${index + 1} is ${LACKING[state]}`],
  );
  return lacking.length === 0 ? null : lacking.join('; ');
}

/**
 * Whether a recipe may be superseded: not while a cup of it is weighed and not
 * rejected, unless the layup that it was for is superseded too ('recipe-in-use').
 */
export function judgeNewRecipe(current: StandingRecipe): Reason[] {
  if (!current.ofLayup) return [];
  const cups = current.states.flatMap((state, index) =>
    state === 'to_weigh' || state === 'rejected' ? [] : [`cup ${index + 1} (${LACKING[state]})`],
  );
  return cups.length === 0 ? [] : [reason('recipe-in-use', { recipe: current.running, cups })];
}

/** How a reading comes about. */
export interface CupAttempt {
  readonly pour: number;
  /** The same cup as in its newest reading, with something added; else a fresh cup. */
  readonly putsRight: boolean;
  /** Why a cup that could have been poured is weighed afresh. */
  readonly freshBecause: string | null;
}

const COMPONENTS = { resinG: 'resin', hardenerG: 'hardener', pigmentG: 'pigment' } as const;
const KEYS = ['resinG', 'hardenerG', 'pigmentG'] as const;
/** Round-off of decimal grams, far below any scale. */
const ROUND_OFF = 1e-9;

/**
 * What a reading draws from the batches: all of a fresh cup, the difference where a
 * cup is put right. With everything against the reading: 'cup-unknown', 'cup-not-weighed',
 * 'cup-already-weighed', 'cup-reading-decreases'.
 * @param newest the newest reading of that cup
 */
export function judgeAttempt(
  { pour, putsRight, freshBecause }: CupAttempt,
  pours: number,
  newest: (CupReading & Weighed) | undefined,
  weighed: Weighed,
): { readonly against: readonly Reason[]; readonly drawn: Weighed } {
  if (pour > pours) {
    return { against: [reason('cup-unknown', { pour, pours }, '/pour')], drawn: weighed };
  }
  if (!putsRight) {
    const again = mayBePoured(stateOf(newest)) && freshBecause === null;
    return {
      against: again ? [reason('cup-already-weighed', { pour }, '/pour')] : [],
      drawn: weighed,
    };
  }
  if (newest === undefined) {
    return { against: [reason('cup-not-weighed', { pour }, '/putsRight')], drawn: weighed };
  }
  const against = KEYS.flatMap((key) =>
    weighed[key] >= newest[key] - ROUND_OFF
      ? []
      : [
          reason(
            'cup-reading-decreases',
            { component: COMPONENTS[key], beforeG: newest[key], nowG: weighed[key] },
            `/${key}`,
          ),
        ],
  );
  return {
    against,
    drawn: {
      resinG: added(newest.resinG, weighed.resinG),
      hardenerG: added(newest.hardenerG, weighed.hardenerG),
      pigmentG: added(newest.pigmentG, weighed.pigmentG),
    },
  };
}

/** Without the tail of binary fractions. */
const added = (beforeG: number, nowG: number): number =>
  Math.max(0, Number((nowG - beforeG).toFixed(6)));
