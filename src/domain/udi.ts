/**
 * Unique device identifiers (C9): what a scanned label says about a piece of
 * hardware. The label's one code, or its two, are read whole: who issued the
 * identifier, which device, which lot or serial, until when. What is not certain
 * is refused with the reason; nothing is guessed.
 */
import type { CarrierDate } from './carrierDates.ts';
import type { Day } from './days.ts';
import {
  elementDate,
  elementWords,
  looksLikeGs1,
  readGs1Elements,
  type Gs1Element,
} from './gs1.ts';
import { looksLikeHibc, readHibcCode, type HibcCode } from './hibc.ts';
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** The issuing agencies whose codes are read. */
export const UDI_ISSUERS = ['GS1', 'HIBCC'] as const;
export type UdiIssuer = (typeof UDI_ISSUERS)[number];

/** What a label says of a piece. */
export interface Udi {
  readonly issuer: UdiIssuer;
  /** GS1: the 14 figures of the GTIN. HIBCC: labeler, product and unit of measure. */
  readonly deviceIdentifier: string;
  readonly lot: string | null;
  readonly serial: string | null;
  /** The last day of use; the last of the month where the label leaves the day open. */
  readonly expiresOn: Day | null;
  readonly madeOn: Day | null;
  /** Which of the two days the label leaves open. */
  readonly monthOnly: readonly ('expiresOn' | 'madeOn')[];
  /** Pieces in the package, where the label counts them. */
  readonly quantity: number | null;
  /** The maker's own additional identification (GS1 240). */
  readonly additionalIdentification: string | null;
  /** Elements of the code that are kept as they are (GS1). */
  readonly others: readonly Gs1Element[];
  /** The scans as they came. */
  readonly raw: readonly string[];
}

/** How a label was read. */
export interface UdiReading {
  /** The codes of one label, in any order: mostly one. */
  readonly scans: readonly string[];
  /** The clinic's day, for the century of two-figure years. */
  readonly today: Day;
  /** True where the reader is known to hand on FNC1 (the camera does; a keyboard scanner may not). */
  readonly separatorsKept?: boolean;
}

/** No label has longer codes; what is longer is not looked into. */
const LONGEST_SCAN = 400;
/** A label has one code, or two; a third is somebody else's. */
const MOST_SCANS = 3;
/** How much of a scan is repeated in a refusal. */
const SHOWN = 60;

function days(
  expires: CarrierDate | null,
  made: CarrierDate | null,
): Pick<Udi, 'expiresOn' | 'madeOn' | 'monthOnly'> {
  const open: Udi['monthOnly'] = [
    ...(expires?.monthOnly === true ? (['expiresOn'] as const) : []),
    ...(made?.monthOnly === true ? (['madeOn'] as const) : []),
  ];
  return { expiresOn: expires?.on ?? null, madeOn: made?.on ?? null, monthOnly: open };
}

const READ = new Set(['01', '10', '11', '17', '21', '30', '240']);

function readGs1({ scans, today, separatorsKept = false }: UdiReading): Verdict<Udi> {
  const said = new Map<string, string>();
  for (const scan of scans) {
    const elements = readGs1Elements(scan, today, separatorsKept);
    if (!elements.ok) return elements;
    for (const { ai, value } of elements.value) {
      const had = said.get(ai);
      if (had !== undefined && had !== value) {
        return refused([
          reason('udi-says-two-things', { element: elementWords(ai), values: [had, value] }),
        ]);
      }
      said.set(ai, value);
    }
  }
  const text = (ai: string): string | null => said.get(ai) ?? null;
  const date = (ai: string): CarrierDate | null =>
    (said.has(ai) ? elementDate(String(said.get(ai)), today) : null) ?? null;
  const deviceIdentifier = said.get('01');
  if (deviceIdentifier === undefined) {
    return refused([
      reason('udi-device-identifier-missing', {
        issuer: 'GS1',
        carried: [...said.keys()].map(elementWords).join(', ') || 'nothing',
      }),
    ]);
  }
  return granted({
    issuer: 'GS1',
    deviceIdentifier,
    lot: text('10'),
    serial: text('21'),
    ...days(date('17'), date('11')),
    quantity: said.has('30') ? Number(said.get('30')) : null,
    additionalIdentification: text('240'),
    others: [...said].flatMap(([ai, value]) => (READ.has(ai) ? [] : [{ ai, value }])),
    raw: scans,
  });
}

function readHibc({ scans, today }: UdiReading): Verdict<Udi> {
  const codes: HibcCode[] = [];
  for (const scan of scans) {
    const code = readHibcCode(scan, today);
    if (!code.ok) return code;
    codes.push(code.value);
  }
  const notOfOneLabel = (why: string) => refused([reason('udi-codes-not-of-one-label', { why })]);
  const primaries = codes.filter((code) => code.deviceIdentifier !== null);
  const secondaries = codes.filter((code) => code.deviceIdentifier === null);
  const [primary, another] = primaries;
  if (another !== undefined) return notOfOneLabel('both say which device it is');
  if (primary?.deviceIdentifier == null) {
    return refused([
      reason('udi-device-identifier-missing', {
        issuer: 'HIBC',
        carried: 'a secondary code (lot, serial, expiry)',
      }),
    ]);
  }
  if (secondaries.length + (primary.details === null ? 0 : 1) > 1) {
    return notOfOneLabel('two say lot, serial or expiry');
  }
  const [secondary] = secondaries;
  if (secondary !== undefined && secondary.link !== primary.check) {
    return notOfOneLabel(
      `the second asks for a first that ends in "${String(secondary.link)}", not in "${primary.check}"`,
    );
  }
  const details = primary.details ?? secondary?.details ?? null;
  return granted({
    issuer: 'HIBCC',
    deviceIdentifier: primary.deviceIdentifier,
    lot: details?.lot ?? null,
    serial: details?.serial ?? null,
    ...days(details?.expires ?? null, details?.made ?? null),
    quantity: details?.quantity ?? null,
    additionalIdentification: null,
    others: [],
    raw: scans,
  });
}

/**
 * Reads the codes of one label.
 *
 * GS1: element strings with or without symbology identifier and FNC1, with
 * brackets, or a Digital Link address; the elements of several codes are put
 * together. HIBC: primary, primary and secondary, or joined.
 * @returns what the label says, or why it cannot be said:
 *   'udi-not-recognised', 'udi-element-unknown', 'udi-element-malformed',
 *   'udi-check-wrong', 'udi-date-impossible', 'udi-device-identifier-missing',
 *   'udi-cannot-be-told-apart', 'udi-says-two-things', 'udi-codes-not-of-one-label'
 */
export function readUdi(reading: UdiReading): Verdict<Udi> {
  const { scans } = reading;
  const notRecognised = (scanned: string, why: string) =>
    refused([reason('udi-not-recognised', { scanned: scanned.slice(0, SHOWN), why })]);
  if (scans.length === 0 || scans.length > MOST_SCANS) {
    return notRecognised('', `a label has 1 to ${MOST_SCANS} codes, not ${scans.length}`);
  }
  const long = scans.find((scan) => scan.length > LONGEST_SCAN);
  if (long !== undefined) {
    return notRecognised(long, `it is longer than ${LONGEST_SCAN} characters`);
  }
  const foreign = scans.find((scan) => !looksLikeHibc(scan) && !looksLikeGs1(scan));
  if (foreign !== undefined) {
    return notRecognised(foreign, 'it is neither a GS1 nor an HIBC code');
  }
  if (scans.every(looksLikeHibc)) return readHibc(reading);
  if (scans.every((scan) => !looksLikeHibc(scan))) return readGs1(reading);
  return refused([
    reason('udi-codes-not-of-one-label', { why: 'one is a GS1 code, the other an HIBC code' }),
  ]);
}
