/** The layup of a definitive socket over HTTP, as several test files tell of it. All invented. */
import { PASSWORD } from './clinic.ts';
import { acceptedCast, makeSocket, openedOrder } from './job.ts';
import { ok, type Shop } from './shop.ts';

const signature = { password: PASSWORD };

export interface DraftedLine {
  kind: string;
  fabric: string;
  layers: number;
}
export interface LayupBody {
  id: string;
  running: number;
  earlier: number;
  ruleRow: string | null;
  why: string | null;
  lines: DraftedLine[];
  inWords: string[];
  figures: Record<string, number> & {
    cutList: { what: string; lengthMm: number; count: number; massG: number }[];
    section: object[];
  };
  formulas: Record<string, { formula: string; units: string; source: string }>;
  basis: {
    patient: object;
    row: object | null;
    limb: { cap: object };
    fabrics: { id: string; name: string }[];
    resin: Record<string, unknown>;
  };
  approvedAt: string | null;
  approvedBy: string | null;
  supersededAt: string | null;
  signatureId: string | null;
}

/** @param shop read when something is asked, so that it may be stocked later */
export function layupBench(shop: () => Shop) {
  const tech = () => shop().clinic.as('technician');
  const admin = () => shop().clinic.as('administrator');
  const prosthetist = () => shop().clinic.as('prosthetist');
  const socketUrl = (socketId: string, part: string) => `/api/v1/sockets/${socketId}/${part}`;
  const propose = (socketId: string, query = '') =>
    tech().get(socketUrl(socketId, `layup/proposal${query}`));
  const proposed = (socketId: string) => ok<LayupBody>(propose(socketId));
  const draft = (socketId: string, body: object) =>
    tech().post(socketUrl(socketId, 'layups'), body);
  const approve = (layupId: string, given: object = signature) =>
    prosthetist().post(`/api/v1/layups/${layupId}/approval`, { signature: given });
  const newestOf = (socketId: string) => tech().get(socketUrl(socketId, 'layup'));
  const newest = (socketId: string) => ok<LayupBody>(newestOf(socketId));

  const skipCheckFitting = (in_: Shop, orderId: string) =>
    ok(
      in_.clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
        reason: 'An exact copy of the socket before.',
        signature,
      }),
    );

  /** An order for a limb of its own, its check fitting skipped, and the definitive socket of it. */
  async function definitive(
    order: Parameters<typeof openedOrder>[1] = {},
    in_ = shop(),
  ): Promise<{ socketId: string; orderId: string; patientId: string }> {
    const { orderId, patientId } = await openedOrder(in_, order);
    await acceptedCast(in_, orderId);
    await skipCheckFitting(in_, orderId);
    const { id } = await makeSocket(in_, orderId, { kind: 'definitive' });
    return { socketId: id, orderId, patientId };
  }

  /** A draft as the rules propose it. */
  async function drafted(order: Parameters<typeof definitive>[0] = {}) {
    const made = await definitive(order);
    const { lines } = await proposed(made.socketId);
    const layup = await ok<LayupBody>(draft(made.socketId, { lines }));
    return { ...made, layup, lines };
  }

  let weighings = 0;
  const weigh = (patientId: string, massKg: number) =>
    ok(
      tech().post(`/api/v1/patients/${patientId}/body-masses`, {
        massKg,
        measuredOn: '2026-03-02',
        confirmed: (weighings += 1) > 0,
      }),
    );
  const withBraid = (lines: readonly DraftedLine[], layers: number): DraftedLine[] =>
    lines.map((line, at) => (at === 3 ? { ...line, layers } : line));
  return {
    tech,
    admin,
    prosthetist,
    socketUrl,
    propose,
    proposed,
    draft,
    approve,
    newestOf,
    newest,
    skipCheckFitting,
    definitive,
    drafted,
    weigh,
    withBraid,
  };
}
