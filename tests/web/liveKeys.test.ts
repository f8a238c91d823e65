/** Which answers a change concerns: never one too few, and not all of the shop at every act. */
import { describe, expect, test } from 'vitest';
import { concerns, isAskedByPeople, type Shown } from '../../src/web/liveKeys.ts';

const [ORDER, OTHER, SOCKET, OTHERS_SOCKET, CUP, LOCK] = [
  '018f0000-0000-7000-8000-000000000001',
  '018f0000-0000-7000-8000-000000000002',
  '018f0000-0000-7000-8000-000000000003',
  '018f0000-0000-7000-8000-000000000004',
  '018f0000-0000-7000-8000-000000000005',
  '018f0000-0000-7000-8000-000000000006',
] as const;

const shown: readonly Shown[] = [
  { queryKey: ['orders', { late: true }], data: { pages: [{ items: [{ id: OTHER }] }] } },
  { queryKey: ['watch', 'late'], data: { items: [] } },
  { queryKey: ['order', ORDER], data: { id: ORDER, sockets: [{ id: SOCKET }] } },
  { queryKey: ['order', OTHER], data: { id: OTHER, sockets: [{ id: OTHERS_SOCKET }] } },
  { queryKey: ['order', ORDER, 'gate'], data: { open: false, missing: [] } },
  { queryKey: ['order', ORDER, 'history'], data: { items: [] } },
  { queryKey: ['delivery-gate', ORDER], data: { missing: [] } },
  { queryKey: ['socket', SOCKET], data: { id: SOCKET, order: { id: ORDER }, hardware: [LOCK] } },
  { queryKey: ['socket', OTHERS_SOCKET], data: { id: OTHERS_SOCKET, order: { id: OTHER } } },
  { queryKey: ['resin', SOCKET], data: { cups: [] } },
  { queryKey: ['resin', OTHERS_SOCKET], data: { cups: [] } },
  { queryKey: ['batches', 'resin'], data: { items: [] } },
  { queryKey: ['fabrics'], data: { items: [] } },
  { queryKey: ['people'], data: [] },
  { queryKey: ['long-works'], data: { items: [] } },
  { queryKey: ['a page that is not written yet'], data: {} },
];

const concerned = (change: Partial<Parameters<typeof concerns>[0]>): string[] =>
  shown
    .filter((query) =>
      concerns({ subjectKind: 'order', subjectId: ORDER, orderId: null, ...change }, query, shown),
    )
    .map(({ queryKey }) =>
      queryKey.map((part) => (typeof part === 'string' ? part : '…')).join(' '),
    );

describe('a change', () => {
  test('of one order’s resin has its pages and the lists read again, and not another’s', () => {
    const read = concerned({ subjectKind: 'resin_weighing', subjectId: CUP, orderId: ORDER });
    expect(read).toEqual([
      'orders …',
      'watch late',
      `order ${ORDER}`,
      `order ${ORDER} gate`,
      `order ${ORDER} history`,
      `delivery-gate ${ORDER}`,
      `socket ${SOCKET}`,
      `resin ${SOCKET}`,
      'batches resin',
      'a page that is not written yet',
    ]);
  });

  test('of a piece without an order has whatever may hold it read again', () => {
    const read = concerned({ subjectKind: 'item', subjectId: LOCK });
    expect(read).toEqual(
      expect.arrayContaining([`socket ${SOCKET}`, `order ${ORDER} gate`, `resin ${SOCKET}`]),
    );
    expect(read).not.toContain('fabrics');
    expect(read).not.toContain('people');
  });

  test('of a new order has the lists read again that cannot name it yet', () => {
    const fresh = '018f0000-0000-7000-8000-00000000000f';
    const read = concerned({ subjectId: fresh, orderId: fresh });
    expect(read).toEqual(expect.arrayContaining(['orders …', 'watch late']));
    expect(read).not.toContain(`socket ${SOCKET}`);
  });

  test('of a sheet of the shop has that list read again', () => {
    expect(concerned({ subjectKind: 'fabric', subjectId: CUP })).toContain('fabrics');
    expect(concerned({ subjectKind: 'person', subjectId: CUP })).toEqual(['people']);
    expect(concerned({ subjectKind: 'long_work', subjectId: CUP })).toEqual(['long-works']);
  });

  test('never has a trace or a recall asked again, which would be noted as asked', () => {
    expect(isAskedByPeople(['trace', 'order', 'KL'])).toBe(true);
    expect(isAskedByPeople(['recall', {}, 1])).toBe(true);
    expect(isAskedByPeople(['orders'])).toBe(false);
  });
});
