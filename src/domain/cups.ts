/**
 * C3: the cups of a recipe. Each is weighed, judged, and poured only where its
 * newest reading may be: on ratio, enough, within the cup's limit, or accepted as
 * it is by a prosthetist's signature; and while it can be worked. A cup that stopped
 * the work is put right (more of what was short, in the same cup) or thrown away and
 * weighed afresh, as is one that set or went into an earlier attempt.
 */
import { reason, type Reason } from './reasons/index.ts';
import { RESIN_RANGES, type ResinProduct } from './resin.ts';
import type { Weighed } from './weighing.ts';
import type { Disposition } from './words.ts';

/**
 * to_weigh: no reading yet · good: may be poured · stopped: a finding is open on it ·
 * accepted: poured as it is, by signature · rejected: its finding was closed otherwise ·
 * set: it could be poured, and its work time is over · spent: the lamination was recorded since.
 */
export const CUP_STATES = [
  'to_weigh',
  'good',
  'stopped',
  'accepted',
  'rejected',
  'set',
  'spent',
] as const;
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
  readonly mixedAt: Date;
  /** For how long it can be worked; null where nothing says so. */
  readonly workMinutes: number | null;
  /** An attempt at the lamination was recorded after it. */
  readonly spent: boolean;
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

const MS_PER_MINUTE = 60_000;

/** Whether its work time is over; where that is not known it never is. */
const isSet = ({ mixedAt, workMinutes }: CupReading, at: Date): boolean =>
  workMinutes !== null && at.getTime() - mixedAt.getTime() >= workMinutes * MS_PER_MINUTE;

function stateOf(newest: CupReading | undefined, at: Date): CupState {
  if (newest === undefined) return 'to_weigh';
  if (newest.stopped && newest.disposition === null) return 'stopped';
  if (newest.stopped && newest.disposition !== 'accept_as_is') return 'rejected';
  if (newest.spent) return 'spent';
  if (isSet(newest, at)) return 'set';
  return newest.stopped ? 'accepted' : 'good';
}

/** The state of each cup of a recipe at an instant, in the order of its pours. */
export const cupStates = (pours: number, readings: readonly CupReading[], at: Date): CupState[] =>
  Array.from({ length: pours }, (_, index) => stateOf(newestReading(readings, index + 1), at));

/** Longer than it takes to mix, pour and draw resin through. Common practice, no source. */
export const LONGEST_LAMINATION_MINUTES = 120;

/**
 * When a lamination that is recorded now began, by its bench time: what could be
 * worked then was poured in time. Longer bench time counts as `LONGEST_LAMINATION_MINUTES`.
 */
export const laminationBegan = (at: Date, minutes: number): Date =>
  new Date(at.getTime() - Math.min(minutes, LONGEST_LAMINATION_MINUTES) * MS_PER_MINUTE);

/** What to mind with a cup that may be poured; null where its clock says it. */
export const cupCaution = (
  state: CupState,
  newest: Pick<CupReading, 'workMinutes'> | undefined,
): string | null =>
  mayBePoured(state) && newest?.workMinutes === null
    ? 'Nothing says how long it can be worked: make sure that it still flows before it is poured.'
    : null;

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
  set: 'set, its work time is over: to be weighed afresh',
  spent: 'spent on an earlier attempt: to be weighed afresh',
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
  if (lacking.length === 0) return null;
  const inTime = states.includes('set')
    ? ['if it was poured in time, record the lamination with the minutes that it took']
    : [];
  return [...lacking, ...inTime].join('; ');
}

const GONE: readonly CupState[] = ['to_weigh', 'rejected', 'set', 'spent'];

/**
 * Whether a recipe may be superseded: not while a cup of it may be poured or is
 * stopped, unless the layup that it was for is superseded too ('recipe-in-use').
 */
export function judgeNewRecipe(current: StandingRecipe): Reason[] {
  if (!current.ofLayup) return [];
  const cups = current.states.flatMap((state, index) =>
    GONE.includes(state) ? [] : [`cup ${index + 1} (${LACKING[state]})`],
  );
  return cups.length === 0 ? [] : [reason('recipe-in-use', { recipe: current.running, cups })];
}

/** A product as its sheet now stands. */
export interface ProductNow extends ResinProduct {
  readonly document: string;
  readonly revision: string;
  readonly active: boolean;
}

const SHEET = [
  ...(Object.keys(RESIN_RANGES) as (keyof typeof RESIN_RANGES)[]),
  'document',
  'revision',
] as const;

/**
 * Whether another cup may be weighed by a recipe: not where its product was withdrawn
 * ('resin-product-withdrawn') or its sheet was changed ('recipe-of-older-sheet') since,
 * unless a cup that may be poured waits for the others.
 * @param before the product as the recipe has it
 */
export function judgeProductOf(
  { running, states }: StandingRecipe,
  before: Omit<ProductNow, 'active'>,
  now: ProductNow,
): Reason[] {
  if (states.some(mayBePoured)) return [];
  if (!now.active) return [reason('resin-product-withdrawn', { product: now.name })];
  const changed = SHEET.filter((key) => before[key] !== now[key]);
  return changed.length === 0
    ? []
    : [reason('recipe-of-older-sheet', { recipe: running, product: now.name, changed })];
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
 * 'cup-already-weighed', 'cup-no-longer-flows', 'cup-reading-decreases'.
 * @param newest the newest reading of that cup
 */
export function judgeAttempt(
  { pour, putsRight, freshBecause }: CupAttempt,
  pours: number,
  newest: (CupReading & Weighed) | undefined,
  weighed: Weighed,
  at: Date,
): { readonly against: readonly Reason[]; readonly drawn: Weighed } {
  if (pour > pours) {
    return { against: [reason('cup-unknown', { pour, pours }, '/pour')], drawn: weighed };
  }
  if (!putsRight) {
    const again = mayBePoured(stateOf(newest, at)) && freshBecause === null;
    return {
      against: again ? [reason('cup-already-weighed', { pour }, '/pour')] : [],
      drawn: weighed,
    };
  }
  if (newest === undefined) {
    return { against: [reason('cup-not-weighed', { pour }, '/putsRight')], drawn: weighed };
  }
  const over: Reason[] =
    newest.spent || isSet(newest, at)
      ? [reason('cup-no-longer-flows', { pour, spent: newest.spent }, '/putsRight')]
      : [];
  const lighter = KEYS.flatMap((key) =>
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
    against: [...over, ...lighter],
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
