/**
 * What a signature is of, as it stands now: the fields of its content that later work can
 * make otherwise, under the same names. What was typed for the signature stays as it was.
 */
import { acceptedCast } from '../../store/casts.ts';
import type { Act } from '../../store/act.ts';
import type { Json } from '../../store/events.ts';
import { plainJson } from '../../store/json.ts';
import { newestLayup } from '../../store/layups.ts';
import { loadOperations } from '../../store/operations.ts';
import { loadOrder } from '../../store/orders.ts';
import { shaOfPhotos } from '../../store/photos.ts';
import type { GivenSignature } from '../../store/signatures.ts';
import { acceptedAlignment, loadAssembly, newestAlignment } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { plain } from '../fittings/alignment.ts';

type Fields = Readonly<Record<string, Json>>;

/** The fields that can be otherwise, as they are at this moment. */
export async function stateNow(act: Act, signature: GivenSignature): Promise<Fields> {
  const { socketId } = signature;
  switch (signature.meaning) {
    case 'check_fitting_skipped': {
      const order = await loadOrder(act, given(signature.orderId));
      const { number: cast } = await acceptedCast(act, order);
      return { side: order.side, level: order.level, cast };
    }
    case 'mass_near_rating_acknowledged':
      return massNow(act, signature);
    case 'layup_approved':
      return layupNow(act, given(socketId));
    case 'finding_accepted_as_is': {
      const photos = await shaOfPhotos(act, signature.subjectId);
      return photos.length === 0 && signature.content['photos'] === undefined ? {} : { photos };
    }
    case 'alignment_difference_accepted':
      return alignmentsNow(act, given(socketId), given(signature.orderId));
    case 'fit_accepted':
      return {
        ...(await alignmentNow(act, given(socketId))),
        ...(await hardwareNow(act, given(socketId))),
      };
    case 'service_released':
      return hardwareNow(act, given(socketId));
    case 'delivery_released':
      return deliveredNow(act, given(socketId));
    // Both are of what was said then, and are followed by others, never changed.
    case 'correction_made':
    case 'erasure_confirmed':
      return {};
  }
}

function given(id: string | null): string {
  if (id === null) throw new TypeError('a signature does not name what its meaning is about');
  return id;
}

async function hardwareNow(act: Act, socketId: string): Promise<Fields> {
  const { held } = await loadAssembly(act.tx, act.clinicId, socketId);
  return { hardware: held.map(({ position, label }) => ({ position, item: label })) };
}

async function deliveredNow(act: Act, socketId: string): Promise<Fields> {
  const { tx, clinicId } = act;
  const { bodyMassKg } = await loadSocket(tx, clinicId, socketId);
  const { joints, evidence } = await loadAssembly(tx, clinicId, socketId);
  const operations = await loadOperations(tx, clinicId, socketId);
  return {
    bodyMassKg,
    ...(await hardwareNow(act, socketId)),
    joints: joints.map(({ kind, confirmed }) => ({ kind, confirmed })),
    lockCheck: evidence.lockCheck?.id ?? null,
    operations: operations.map(({ title, state }) => ({ title, state })),
  };
}

async function alignmentNow(act: Act, socketId: string): Promise<Fields> {
  const newest = await newestAlignment(act.tx, act.clinicId, socketId);
  return newest === null ? {} : { alignment: plain(newest) };
}

async function alignmentsNow(act: Act, socketId: string, orderId: string): Promise<Fields> {
  const newest = await newestAlignment(act.tx, act.clinicId, socketId);
  const accepted = await acceptedAlignment(act.tx, act.clinicId, orderId);
  return {
    measured: newest === null ? null : plain(newest),
    accepted: accepted === null ? null : plain(accepted),
  };
}

async function massNow(act: Act, { orderId, partId }: GivenSignature): Promise<Fields> {
  const { tx, clinicId } = act;
  const { patientId } = await loadOrder(act, given(orderId));
  const part = await tx.part.findFirstOrThrow({
    where: { clinicId, id: given(partId) },
    select: { name: true, ratedBodyMassKg: true },
  });
  const mass = await tx.bodyMass.findFirst({
    where: { clinicId, patientId },
    orderBy: [{ measuredOn: 'desc' }, { id: 'desc' }],
    select: { massKg: true },
  });
  return {
    part: part.name,
    ratedBodyMassKg: part.ratedBodyMassKg,
    bodyMassKg: mass?.massKg ?? null,
  };
}

/** A layup is never changed: another is drafted, which supersedes it. */
async function layupNow(act: Act, socketId: string): Promise<Fields> {
  const newest = await newestLayup(act, socketId);
  if (newest === null) return {};
  const { running, lines, ruleRow, why } = newest;
  return { layup: running, lines: plainJson(lines), ruleRow, why };
}
