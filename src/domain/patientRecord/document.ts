/** The document as it is written: its head, the rows of each section, the events, who is who. */
import type { JsonValue } from '../canonical.ts';
import type { Section } from './index.ts';

/** Written into each document; raised when a reader of the one before would misread it. */
export const PATIENT_RECORD_VERSION = 1;

/** A row of a section, in camel case. */
export type RecordRow = Readonly<Record<string, JsonValue>>;

/** An event about the patient with what shows that it was not altered. */
export interface RecordEvent {
  readonly seq: number;
  readonly id: string;
  readonly at: string;
  readonly personId: string | null;
  readonly kind: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly orderId: string | null;
  readonly data: RecordRow;
  /** Sealed values by path in `data`; those that were erased are not there. */
  readonly opened: Readonly<Record<string, { readonly salt: string; readonly value: JsonValue }>>;
  readonly leafSha256: string;
  readonly chainSha256: string;
}

export interface PatientRecord {
  readonly format: 'castbook-patient-record';
  readonly version: typeof PATIENT_RECORD_VERSION;
  readonly madeAt: string;
  readonly clinic: {
    readonly id: string;
    readonly name: string;
    readonly timeZone: string;
    readonly retentionYears: number;
  };
  readonly patientId: string;
  readonly chartNumber: string;
  readonly reason: string;
  readonly handedTo: string;
  readonly askedBy: string;
  readonly withheld: readonly string[];
  readonly sections: Readonly<Record<Section, readonly RecordRow[]>>;
  readonly events: readonly RecordEvent[];
  readonly people: readonly {
    readonly id: string;
    readonly printedName: string;
    readonly roles: readonly string[];
  }[];
  readonly end: { readonly rows: number; readonly events: number; readonly upToEvent: number };
}
