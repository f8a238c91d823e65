/** Whether a layup still holds: asked at the signature, and again before its fabric is laid (C2). */
import { changedSince, type DraftBasis } from '../../domain/layupDraft.ts';
import type { Act } from '../../store/act.ts';
import { newestLayup } from '../../store/layups.ts';
import { loadResinProduct } from '../../store/resinProducts.ts';
import type { SocketFacts } from '../../store/sockets.ts';
import { loadLayupFacts } from './facts.ts';

/** What of a basis no longer holds today, in words; none where all does. */
export async function basisChanges(
  act: Act,
  socket: SocketFacts,
  basis: DraftBasis,
): Promise<string[]> {
  const { patient, rules, fabrics } = await loadLayupFacts(act, socket);
  const { productId } = basis.resin;
  const product = productId === null ? null : await loadResinProduct(act, productId);
  const resin = product?.active === true ? product : null;
  return changedSince(basis, { patient, rules, fabrics, resin });
}

/** What of its layup keeps a socket from being laid up, in words; null where nothing does. */
export async function layupLacking(act: Act, socket: SocketFacts): Promise<string | null> {
  const layup = await newestLayup(act, socket.id);
  if (layup === null) return 'no layup is drafted for the socket';
  const { running, approvedAt, basis } = layup;
  if (approvedAt === null) return `layup ${running} is not approved`;
  const changed = await basisChanges(act, socket, basis);
  return changed.length === 0 ? null : `layup ${running} no longer holds: ${changed.join('; ')}`;
}
