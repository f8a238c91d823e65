/** What a reader of codes hands on. */

export interface Code {
  /** As it was read, FNC1 as character 29. */
  readonly text: string;
  /** Symbology identifier (ISO/IEC 15424), `]d2` for one; empty where the reader does not say. */
  readonly symbology: string;
  /** A bar code: it has no error correction, so one reading of it proves little. */
  readonly linear: boolean;
}

/** A label may carry its code in two or three parts (HIBC primary and secondary). */
export const CODES_MOST = 3;
