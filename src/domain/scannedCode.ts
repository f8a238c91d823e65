/**
 * The codes on labels and papers. Each is a link with a number of ours and nothing of a
 * patient, so that any phone opens it: `/o/<order>` an order, `/o/<order>/<socket>` a socket's
 * next operation, `/p/<place>` a bin. The same numbers are read as people type them.
 */
import { orderLink } from './orderLink.ts';
import { makeSocketNumber, parseOrderNumber, parseSocketNumber } from './orderNumber.ts';
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

export type Scanned =
  | { readonly kind: 'order'; readonly order: string }
  | { readonly kind: 'socket'; readonly order: string; readonly socket: string }
  | { readonly kind: 'place'; readonly placeId: string };

/** @param socketNumber as printed: `KB-26-00417-X/D1` */
export function socketLink(publicUrl: string, socketNumber: string): string {
  const [order = '', socket = ''] = socketNumber.split('/');
  return `${orderLink(publicUrl, order)}/${socket}`;
}

export const placeLink = (publicUrl: string, placeId: string): string =>
  `${publicUrl.replace(/\/+$/, '')}/p/${placeId}`;

const LINK = /^https?:\/\/[^/?#\s]+(?:\/[^?#\s]*?)?\/([op])\/([^?#\s]+)$/;
const PLACE_ID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

/**
 * What was scanned or typed.
 * @returns order, socket or place; 'scan-not-ours' where it is a link but none of ours,
 *   'order-number-mistyped' or 'socket-number-mistyped' where a number is wrong
 */
export function parseScanned(text: string): Verdict<Scanned> {
  const scanned = text.trim();
  const link = LINK.exec(scanned);
  const [, way, rest = ''] = link ?? [];
  if (way === 'p' && PLACE_ID.test(rest)) {
    return granted({ kind: 'place', placeId: rest.toLowerCase() });
  }
  if (way === 'p' || (link === null && /^https?:/i.test(scanned))) {
    return refused([reason('scan-not-ours', { scanned: scanned.slice(0, 40) })]);
  }
  const number = link === null ? scanned : rest;
  if (!number.includes('/')) {
    const order = parseOrderNumber(number);
    return order.ok ? granted({ kind: 'order', order: order.value }) : order;
  }
  const socket = parseSocketNumber(number);
  if (!socket.ok) return socket;
  const { orderNumber: order, kind, n } = socket.value;
  return granted({ kind: 'socket', order, socket: makeSocketNumber(order, kind, n) });
}
