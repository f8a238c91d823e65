/** What a scan or a keyboard gave, as the order's number; what is none is left for the service to answer. */
import { parseOrderLink } from '../../domain/orderLink.ts';

export function numberOf(text: string): string {
  const link = parseOrderLink(text);
  const plain = link.ok ? link.value : text.trim();
  return plain === '' ? '-' : plain.slice(0, 60);
}
