/**
 * The text of the code on papers and labels: a link that opens the order. It
 * holds the order's number and nothing of the patient; the number's check
 * character guards against a bad scan.
 */
import { parseOrderNumber } from './orderNumber.ts';
import { reason } from './reasons/index.ts';
import { refused, type Verdict } from './verdict.ts';

/**
 * The link that opens an order.
 * @param publicUrl where people reach the service, http or https, with or without a path
 * @param orderNumber as printed
 */
export function orderLink(publicUrl: string, orderNumber: string): string {
  return `${publicUrl.replace(/\/+$/, '')}/o/${encodeURIComponent(orderNumber)}`;
}

/**
 * Reads a scanned link, whatever address it was printed with: the clinic may
 * have moved since.
 * @returns the order's number, or 'order-number-mistyped'
 */
export function parseOrderLink(scanned: string): Verdict<string> {
  const found = /^https?:\/\/[^/?#\s]+(?:\/[^?#\s]*)?\/o\/([0-9A-Za-z-]{1,40})$/.exec(
    scanned.trim(),
  );
  if (found?.[1] !== undefined) return parseOrderNumber(found[1]);
  return refused([
    reason('order-number-mistyped', { typed: scanned.slice(0, 40), problem: 'shape' }),
  ]);
}
