/** What a scan or a keyboard gave, as the order's number; what is none is left for the service to answer. */
import { parseOrderLink } from '../../domain/orderLink.ts';
import type { Code } from './scan/codes.ts';

/** Of the codes before the camera the traveller's own; else the first, for the service to answer. */
export const travellerIn = (codes: readonly Code[]): string =>
  (codes.find(({ text }) => parseOrderLink(text).ok) ?? codes[0])?.text ?? '';

export function numberOf(text: string): string {
  const link = parseOrderLink(text);
  const plain = link.ok ? link.value : text.trim();
  return plain === '' ? '-' : plain.slice(0, 60);
}
