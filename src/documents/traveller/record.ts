/**
 * All that a traveller shows: plain data, so that the sheet's hash is over
 * exactly what was printed. It names the patient by chart number and initials
 * only: the bench sees no name, birth date, phone or address.
 */
import type { Alignment, AlignmentTolerance } from '../../domain/alignment.ts';
import type { Day } from '../../domain/days.ts';
import type { LayupFigures } from '../../domain/layup.ts';
import type { LayupLine } from '../../domain/layupRules.ts';
import type { LimbMeasure } from '../../domain/measures.ts';
import type { Check } from '../../domain/operations.ts';
import type { TorqueSetting } from '../../domain/torque.ts';
import type { Weighed } from '../../domain/weighing.ts';
import type {
  CastState,
  FindingKind,
  FunctionalLevel,
  HoldReason,
  JointKind,
  Level,
  OperationState,
  Position,
  Side,
  SocketKind,
  SocketState,
  Stage,
  Suspension,
} from '../../domain/words.ts';

/** An instant as RFC 3339 text. */
export type InstantText = string;

/** A correction as it stands beside the record that it corrects, which stays. */
export interface TravellerCorrection {
  readonly at: InstantText;
  readonly by: string;
  /** Empty, as right and why, where they were erased. */
  readonly wrong: string;
  readonly right: string;
  readonly why: string;
  /** What is done again to count; null where nothing hangs on it. */
  readonly doneAgain: string | null;
}

/** A record of which corrections stand; there are none where nothing is said. */
interface Correctable {
  readonly corrected?: readonly TravellerCorrection[];
}

export interface TravellerRecord {
  readonly clinic: { readonly name: string; readonly timeZone: string };
  readonly order: TravellerOrder;
  readonly patient: {
    readonly chartNumber: string;
    readonly initials: string;
    readonly bodyMass: (Correctable & { readonly massKg: number; readonly measuredOn: Day }) | null;
  };
  /** The newest accepted cast; before there is one, the newest. */
  readonly cast: TravellerCast | null;
  readonly sockets: readonly TravellerSocket[];
  /** The sockets that are worked on or worn, and refused ones that still hold hardware. */
  readonly works: readonly SocketWork[];
  readonly openFindings: readonly TravellerFinding[];
  /** What stands against the wearer's mass on the parts now in a socket (R3), in words. */
  readonly massWarnings: readonly string[];
}

export interface TravellerOrder {
  readonly number: string;
  /** Counts the order's changes. */
  readonly version: number;
  readonly side: Side;
  readonly level: Level;
  readonly suspension: Suspension;
  readonly functionalLevel: FunctionalLevel;
  readonly stage: Stage;
  readonly hold: { readonly reason: HoldReason; readonly since: InstantText } | null;
  readonly liner: string | null;
  readonly openedAt: InstantText;
  readonly promisedOn: Day | null;
  readonly deliveredAt: InstantText | null;
}

export interface TravellerCast extends Correctable {
  readonly number: number;
  readonly method: string;
  readonly takenOn: Day;
  readonly state: CastState;
  readonly limbLengthMm: number;
  /** From the lowest height to the tip; null where nobody measured it. */
  readonly capDepthMm: number | null;
  /** Heights above the distal end. */
  readonly measures: readonly LimbMeasure[];
}

export interface TravellerSocket {
  readonly number: string;
  readonly kind: SocketKind;
  readonly state: SocketState;
  readonly castNumber: number;
  readonly replaces: string | null;
  readonly sheetThicknessMm: number | null;
}

export interface SocketWork {
  readonly number: string;
  readonly kind: SocketKind;
  readonly operations: readonly TravellerOperation[];
  readonly hardware: readonly TravellerItem[];
  /** Positions that must be filled before a limb can be worn and are not, in words. */
  readonly missing: readonly string[];
  readonly shopTools: readonly { readonly name: string; readonly position: Position }[];
  readonly joints: readonly TravellerJoint[];
  /** Null where there is no lock to check. */
  readonly lockCheck: TravellerLockCheck | null;
  /** Null where the socket is not to be worn any more. */
  readonly alignment: TravellerAlignment | null;
  /** Null for a check socket, and until one is drafted. */
  readonly layup: TravellerLayup | null;
  /** Null until there is a recipe. */
  readonly resin: TravellerResin | null;
}

/** The newest layup of a definitive socket (C2). */
export interface TravellerLayup extends Correctable {
  readonly running: number;
  /** The row of the clinic's rules; null where it is not what they propose. */
  readonly ruleRow: string | null;
  readonly why: string | null;
  /** Printed name. */
  readonly draftedBy: string;
  readonly bodyMassKg: number;
  /** Layers from the inside to the outside. */
  readonly lines: readonly LayupLine[];
  readonly figures: LayupFigures;
  readonly approved: { readonly by: string; readonly at: InstantText } | null;
}

/** The newest recipe (C3). */
export interface TravellerResin {
  /** The layup that it was worked out for, counted within the socket, and whether that one stands. */
  readonly forLayup: { readonly running: number; readonly stands: boolean };
  /** The fabric that it is to wet. */
  readonly fabricMassG: number;
  readonly product: string;
  readonly document: string;
  readonly revision: string;
  readonly partsResin: number;
  readonly partsHardener: number;
  readonly shopTemperatureC: number;
  /** Null where nothing says how long it can be worked. */
  readonly workMinutes: number | null;
  readonly cureHours: number;
  readonly cureTemperatureC: number;
  /** What to mind, in words: the cup's limit among it. */
  readonly cautions: readonly string[];
  readonly cups: readonly TravellerCup[];
}

export interface TravellerCup {
  /** From 1. */
  readonly pour: number;
  readonly weigh: Weighed;
  /** The newest reading; null before the first. */
  readonly weighed:
    | (Weighed &
        Correctable & {
          readonly mixedAt: InstantText;
          readonly by: string;
          /** What stopped the work, in words. */
          readonly stops: readonly string[];
        })
    | null;
}

export interface TravellerOperation {
  readonly seq: number;
  readonly title: string;
  readonly caution: string | null;
  readonly state: OperationState;
  readonly checks: readonly Check[];
  /** The last attempt; null before the first. */
  readonly last:
    | (Correctable & {
        readonly outcome: 'done' | 'stopped';
        readonly by: string;
        readonly at: InstantText;
        readonly arrivedAt?: InstantText;
        /** By the check's key, in words. */
        readonly answers: Readonly<Record<string, string>>;
      })
    | null;
}

export interface TravellerItem {
  readonly position: Position;
  readonly part: string;
  readonly catalogueNumber: string;
  readonly serial: string | null;
  readonly lot: string | null;
  readonly singleUse: boolean;
  readonly ratedBodyMassKg: number | null;
  /** The bin or the other socket that it came from, in words. */
  readonly from: string;
}

export interface TravellerJoint {
  readonly kind: JointKind;
  readonly parts: readonly string[];
  readonly setting: TorqueSetting | null;
  readonly settingFrom: string | null;
  /** Why it is open, in words; null where the confirmation counts. */
  readonly openBecause: string | null;
  /** The confirmation that counts; null where the joint is open. */
  readonly confirmation:
    | (Correctable & {
        readonly by: string;
        readonly at: InstantText;
        readonly arrivedAt?: InstantText;
        readonly tool: string;
        readonly threadlockerLot: string | null;
        readonly readings: readonly {
          readonly fastener: number;
          readonly pass: number;
          readonly torqueNm: number;
          readonly final: boolean;
        }[];
      })
    | null;
}

export interface TravellerLockCheck {
  /** Null until lock and pin are both in. */
  readonly leastClicks: number | null;
  readonly openBecause: string | null;
  readonly passed:
    | (Correctable & {
        readonly by: string;
        readonly at: InstantText;
        readonly arrivedAt?: InstantText;
        readonly clicks: readonly number[];
      })
    | null;
}

export interface TravellerAlignment {
  readonly tolerance: AlignmentTolerance;
  /** At the accepted fitting. */
  readonly accepted: (MeasuredAlignment & { readonly socket: string }) | null;
  /** Measured on this socket after the last move of pyramid or adapter. */
  readonly measured: MeasuredAlignment | null;
}

export interface MeasuredAlignment extends Correctable {
  readonly values: Alignment;
  readonly by: string;
  readonly at: InstantText;
}

export interface TravellerFinding extends Correctable {
  readonly socket: string;
  readonly kind: FindingKind;
  readonly note: string;
  readonly operation: string | null;
  readonly openedAt: InstantText;
  /** How many photos were reported with it. */
  readonly photos: number;
}
