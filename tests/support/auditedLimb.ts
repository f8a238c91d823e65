/** Two limbs for an auditor: one with a history at the bench, one beside it in which all went well. */
import {
  approvedLayup,
  doOperations,
  laidUpWithoutLock,
  makeRecipe,
  MEASURES,
  ok,
  sealedWithoutLock,
  weighCup,
  weighedResin,
  type ResinBody,
  type Shop,
} from './job.ts';

/** A socket with the order and the patient that it is of. */
export interface BenchLimb {
  readonly socketId: string;
  readonly number: string;
  readonly orderId: string;
  readonly patientId: string;
}
export type Cup = Readonly<Record<'pour' | 'resinG' | 'hardenerG' | 'pigmentG', number>>;

async function limbOf({ clinic }: Shop, socketId: string): Promise<BenchLimb> {
  const [row] = await clinic.store.raw<Omit<BenchLimb, 'socketId'>>(
    `select s.number, s.order_id as "orderId", o.patient_id as "patientId" from socket s
     join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id where s.id = $1`,
    [socketId],
  );
  if (row === undefined) throw new Error(`no socket ${socketId}`);
  return { socketId, ...row };
}

interface Since {
  readonly first: { readonly id: string };
  readonly second: { readonly id: string };
}

/** The prosthetist measures an order's limb again. */
export const measuredAgain = ({ clinic }: Shop, orderId: string, body: object) =>
  ok<{ set: { id: string }; sinceCast: Since | null }>(
    clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/measure-sets`, {
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      ...body,
    }),
  );

/** Decides on a limb that has changed since its cast. */
export const decidedOn = ({ clinic }: Shop, since: Since | null, body: object) =>
  ok(
    clinic.as('prosthetist').post('/api/v1/volume-decisions', {
      firstSetId: since?.first.id,
      secondSetId: since?.second.id,
      ...body,
    }),
  );

/** The limb of the cast, so many times as thick. */
export const girthTimes = (girth: number) =>
  MEASURES.map(({ heightMm, circumferenceMm }) => ({
    heightMm,
    circumferenceMm: circumferenceMm * girth,
  }));

/** Shrunken since its cast, and left to socks by a prosthetist. */
async function shrinks(shop: Shop, { socketId, orderId }: BenchLimb): Promise<void> {
  const { sinceCast } = await measuredAgain(shop, orderId, {
    occasion: 'fitting',
    socketId,
    measures: girthTimes(0.96),
    note: 'Came without its shrinker.',
  });
  await decidedOn(shop, sinceCast, { decision: 'socks', why: 'Wears the old liner again.' });
}

/** A layup stronger than the rules propose, thrown over by what they do. */
async function laysUpTwice(shop: Shop, socketId: string): Promise<void> {
  const tech = shop.clinic.as('technician');
  const { lines } = await ok<{ lines: { layers?: number }[] }>(
    tech.get(`/api/v1/sockets/${socketId}/layup/proposal`),
  );
  const stronger = lines.map((line, at) => (at === 3 ? { ...line, layers: 4 } : line));
  await ok(
    tech.post(`/api/v1/sockets/${socketId}/layups`, { lines: stronger, why: 'Lifts at work.' }),
  );
  await approvedLayup(shop, socketId);
}

/** By so much the first cup was short of hardener. */
export const SHORT_G = 8;

/** The first cup short of hardener, put right after its finding; the rest as the recipe says. */
async function weighsWithAMistake(shop: Shop, socketId: string): Promise<Cup> {
  const { pours } = await ok<ResinBody['recipe']>(makeRecipe(shop, socketId));
  const [first, ...others] = pours.map(({ totalG: _sum, ...pour }) => pour);
  if (first === undefined) throw new Error('a recipe without a cup');
  const short = { ...first, hardenerG: first.hardenerG - SHORT_G };
  const { findingId } = await ok<{ findingId: string }>(weighCup(shop, socketId, short));
  await ok(
    shop.clinic.as('technician').post(`/api/v1/findings/${findingId}/disposition`, {
      disposition: 'rework',
      why: 'Not stirred yet.',
    }),
  );
  await ok(weighCup(shop, socketId, { ...first, putsRight: true }));
  for (const other of others) await ok(weighCup(shop, socketId, other));
  return first;
}

/** A limb that had shrunk, its first layup changed, its first cup (`cup`, as the recipe has it) short of hardener. */
export async function auditedLimb(shop: Shop): Promise<BenchLimb & { readonly cup: Cup }> {
  const socketId = await sealedWithoutLock(shop);
  const limb = await limbOf(shop, socketId);
  await shrinks(shop, limb);
  shop.clinic.clock.pass(60);
  await laysUpTwice(shop, socketId);
  await doOperations(shop, socketId, ['lay_up']);
  const cup = await weighsWithAMistake(shop, socketId);
  return { ...limb, cup };
}

/** A limb laid up and weighed as the rules and the recipe say. */
export async function limbBeside(shop: Shop): Promise<BenchLimb> {
  const socketId = await laidUpWithoutLock(shop);
  await weighedResin(shop, socketId);
  return limbOf(shop, socketId);
}
