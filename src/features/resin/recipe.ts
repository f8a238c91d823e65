/** The recipe of a socket: worked out from its approved layup, superseded while no cup stands. */
import { judgeNewRecipe } from '../../domain/cups.ts';
import { earlierOpen, notItsTurn } from '../../domain/operations.ts';
import { reason } from '../../domain/reasons/index.ts';
import { resinRecipe, type RecipeAsked } from '../../domain/resin.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, type ClinicSettings } from '../../store/clinic.ts';
import { newestLayup } from '../../store/layups.ts';
import { loadOperations, type OperationRow } from '../../store/operations.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { cupsOf, writeRecipe } from '../../store/resin.ts';
import { loadResinProduct } from '../../store/resinProducts.ts';
import { loadSocket, type SocketFacts } from '../../store/sockets.ts';
import { refuseUnlessInWork } from '../sockets/operations.ts';
import type { RecipeToMake, RecipeView } from './schemas.ts';
import { recipeView } from './view.ts';

/**
 * Works out a socket's resin and keeps it with the product as it stands.
 * @throws Refused 'resin-needs-layup', 'recipe-why-missing', 'recipe-in-use', 'resin-product-withdrawn', 'operation-already-done',
 *   and whatever `resinRecipe` has against the figures
 */
export async function makeRecipe(
  act: Act,
  socketId: string,
  input: RecipeToMake,
): Promise<RecipeView> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  refuseUnlessInWork(socket);
  const layup = await newestLayup(act, socketId);
  if (layup?.approvedAt == null) {
    throw new Refused([reason('resin-needs-layup', { socket: socket.number })]);
  }
  const lamination = await laminationOf(act, socket);
  // It may be worked out before the laying up is done; only what is over takes no recipe.
  refuseIfAny(lamination.state === 'waiting' ? [] : notItsTurn(lamination));
  const before = await cupsOf(act, socketId);
  if (before !== null) refuseIfAny(judgeNewRecipe(before));

  const product = await loadResinProduct(act, input.productId, '/productId');
  if (!product.active) {
    throw new Refused([reason('resin-product-withdrawn', { product: product.name }, '/productId')]);
  }
  const clinic = await loadClinic(act.tx, act.clinicId);
  const asked: RecipeAsked = {
    fabricMassG: layup.figures.fabricMassG,
    fibreMassFraction: layup.basis.fibreMassFraction,
    bagLossG: input.bagLossG ?? clinic.bagLossG,
    marginPercent: input.marginPercent ?? clinic.resinMarginPercent,
    pigmentPercent: input.pigmentPercent,
    scaleResolutionG: input.scaleResolutionG ?? clinic.scaleResolutionG,
    shopTemperatureC: input.shopTemperatureC,
  };
  const recipe = orRefuse(resinRecipe(product, asked));
  const why = input.why ?? null;
  const below = belowClinic(asked, clinic);
  if (why === null && below.length > 0) {
    throw new Refused([reason('recipe-why-missing', { below }, '/why')]);
  }
  const id = await writeRecipe(act, { socketId, layupId: layup.id, product, asked, recipe, why });
  act.record({
    kind: 'resin_recipe.made',
    subjectKind: 'resin_recipe',
    subjectId: id,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      layup: layup.running,
      product: product.name,
      productVersion: product.version,
      asked: { ...asked },
      why,
      neededG: recipe.neededG,
      cups: recipe.pours.length,
      cup: { ...recipe.pours[0] },
      supersedes: before?.running ?? null,
    },
  });
  const made = await cupsOf(act, socketId);
  if (made === null) throw new Error(`Recipe ${id} was written and is not there.`);
  return recipeView(made);
}

/** What of a recipe is less than the clinic has set, in words. */
const belowClinic = (asked: RecipeAsked, clinic: ClinicSettings): string[] => [
  ...(asked.bagLossG < clinic.bagLossG
    ? [`${asked.bagLossG} g of loss, the clinic has ${clinic.bagLossG} g`]
    : []),
  ...(asked.marginPercent < clinic.resinMarginPercent
    ? [`${asked.marginPercent} % of margin, the clinic has ${clinic.resinMarginPercent} %`]
    : []),
];

/** The operation at which a socket is laminated, with what of its route is open before it. */
export async function laminationOf(
  act: Act,
  socket: SocketFacts,
): Promise<OperationRow & { readonly earlierOpen: readonly OperationRow[] }> {
  const operations = await loadOperations(act.tx, act.clinicId, socket.id);
  const laminations = operations.filter(({ kind }) => kind === 'laminate');
  const lamination = found(
    laminations.find(({ state }) => state === 'waiting' || state === 'stopped') ??
      laminations.at(-1),
    () => reason('not-found', { what: 'lamination', id: socket.number }),
  );
  return { ...lamination, earlierOpen: earlierOpen(operations, lamination.seq) };
}
