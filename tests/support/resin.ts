/** Resin at the bench: the recipe of a socket and its cups on the scale. */
import { ok, type Shop } from './shop.ts';

export interface ResinBody {
  readonly recipe: {
    readonly id: string;
    readonly running: number;
    readonly pours: readonly Readonly<
      Record<'pour' | 'resinG' | 'hardenerG' | 'pigmentG' | 'totalG', number>
    >[];
  };
  readonly cups: readonly {
    readonly pour: number;
    readonly state: string;
    readonly readings: readonly Record<string, unknown>[];
    readonly clock: { readonly minutesLeft: number; readonly minutesOver: number } | null;
  }[];
  readonly stillToWeigh: readonly number[];
  readonly lacking: string | null;
}

/** The recipe of a socket whose layup is approved, in the shop's own resin at 22 °C. */
export const makeRecipe = (shop: Shop, socketId: string, body: object = {}) =>
  shop.clinic.as('technician').post(`/api/v1/sockets/${socketId}/resin-recipes`, {
    productId: shop.resinProduct,
    pigmentPercent: 0,
    shopTemperatureC: 22,
    ...body,
  });

export const weighCup = (shop: Shop, socketId: string, cup: object) =>
  shop.clinic.as('technician').post(`/api/v1/sockets/${socketId}/resin-weighings`, {
    resinBatchId: shop.batches['resin'],
    hardenerBatchId: shop.batches['hardener'],
    pigmentG: 0,
    ...cup,
  });

/** Recipe made and every cup of it weighed as it says: the socket may be laminated. */
export async function weighedResin(
  shop: Shop,
  socketId: string,
): Promise<{ readonly resinG: number; readonly hardenerG: number }> {
  const { pours } = await ok<ResinBody['recipe']>(makeRecipe(shop, socketId));
  for (const { totalG: _sum, ...cup } of pours) await ok(weighCup(shop, socketId, cup));
  const total = (of: 'resinG' | 'hardenerG') => pours.reduce((sum, cup) => sum + cup[of], 0);
  return { resinG: total('resinG'), hardenerG: total('hardenerG') };
}
