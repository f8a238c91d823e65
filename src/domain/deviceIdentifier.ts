/**
 * Device identifiers as a catalogue entry states them (C9): by them a scanned
 * label is known. Who issued one belongs to it: the same characters may be
 * another device of another issuer.
 */
import { gs1CheckDigit, hasGs1CheckDigit } from './gs1.ts';
import { isHibcDevice } from './hibc.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { Udi } from './udi.ts';

/** Names a device among all that there are. */
export type Device = Pick<Udi, 'issuer' | 'deviceIdentifier'>;

/** The issuer and the identifier of a catalogue entry; null where it has none. */
export interface DeviceEntry {
  readonly udiIssuer: Udi['issuer'] | null;
  readonly udiDeviceIdentifier: string | null;
}

const FIELD = '/udiDeviceIdentifier';
const GTIN = 'device identifier (01)';
const HIBC = 'HIBC device identifier';

function againstGtin(value: string): Reason[] {
  if (!/^\d{14}$/.test(value)) {
    const why = 'must be the 14 figures of the label; a shorter GTIN gets noughts in front';
    return [reason('udi-element-malformed', { element: GTIN, value, why }, FIELD)];
  }
  if (hasGs1CheckDigit(value)) return [];
  const expected = String(gs1CheckDigit(value.slice(0, -1)));
  const facts = { of: `${GTIN} ${value}`, found: value.slice(-1), expected };
  return [reason('udi-check-wrong', facts, FIELD)];
}

function againstHibc(value: string): Reason[] {
  if (isHibcDevice(value)) return [];
  const why =
    'must be labeler (a letter and three capitals or figures), product (1 to 18) and unit (a figure), without plus and check character';
  return [reason('udi-element-malformed', { element: HIBC, value, why }, FIELD)];
}

/**
 * Everything against the device identifier of a catalogue entry:
 * 'udi-half-given', 'udi-element-malformed', 'udi-check-wrong'.
 */
export function judgeDeviceIdentifier(entry: DeviceEntry): Reason[] {
  const { udiIssuer: issuer, udiDeviceIdentifier: value } = entry;
  if (issuer === null && value === null) return [];
  if (issuer === null) {
    return [reason('udi-half-given', { missing: 'its issuer', given: 'identifier' }, '/udiIssuer')];
  }
  if (value === null) {
    return [reason('udi-half-given', { missing: 'its identifier', given: 'issuer' }, FIELD)];
  }
  return issuer === 'GS1' ? againstGtin(value) : againstHibc(value);
}

/**
 * What a GTIN has in common with those of the same maker's other packages of it:
 * figures 2 to 13. The first figure is the level of the package (0 the piece, 1 to
 * 8 cases of it), the last one the check digit (GS1 General Specifications, 2.1).
 * A case is not a piece: this is for asking, never for taking one for the other.
 * @returns null where the identifier is no GTIN
 */
export const itemReferenceOf = ({ issuer, deviceIdentifier }: Device): string | null =>
  issuer === 'GS1' ? deviceIdentifier.slice(1, 13) : null;
