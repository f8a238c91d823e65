/** Recipe and cups over HTTP, as several test files tell of them. All invented. */
import { goodAnswers, laidUpWithoutLock, readSocket, type SocketBody } from './job.ts';
import { makeRecipe, weighCup, type ResinBody } from './resin.ts';
import { id, ok, type Shop } from './shop.ts';

export type RecipeBody = ResinBody['recipe'];
export type CupBody = RecipeBody['pours'][number];
export interface WeighedBody {
  weighingId: string;
  outcome: string;
  because: { code: string }[];
  findingId: string | null;
  resin: ResinBody;
}

/** @param shop read when something is asked, so that it may be stocked later */
export function cupBench(shop: () => Shop) {
  const laidUpSocket = () => laidUpWithoutLock(shop());

  const recipeFor = (socketId: string, body: object = {}) =>
    ok<RecipeBody>(makeRecipe(shop(), socketId, body));
  const cupOf = ({ totalG: _sum, ...cup }: CupBody) => cup;
  const firstCup = ({ pours }: RecipeBody): CupBody => {
    const [cup] = pours;
    if (cup === undefined) throw new Error('a recipe without a cup');
    return cup;
  };

  const weigh = (socketId: string, cup: object) => ok<WeighedBody>(weighCup(shop(), socketId, cup));
  const readResin = (socketId: string) =>
    ok<ResinBody & Record<string, unknown>>(
      shop().clinic.as('auditor').get(`/api/v1/sockets/${socketId}/resin`),
    );
  const leftOf = async (batchId: string | undefined): Promise<number> =>
    (
      await ok<{ left: number }>(
        shop()
          .clinic.as('technician')
          .get(`/api/v1/batches/${batchId ?? ''}`),
      )
    ).left;
  const rework = (findingId: string | null) =>
    ok(
      shop()
        .clinic.as('technician')
        .post(`/api/v1/findings/${findingId ?? ''}/disposition`, {
          disposition: 'rework',
          why: 'Not stirred yet.',
        }),
    );
  const laminateOf = async (socketId: string) => {
    const { operations } = await readSocket(shop(), socketId);
    const laminate = operations.find(({ kind }) => kind === 'laminate');
    if (laminate === undefined) throw new Error('no lamination');
    return laminate;
  };
  const laminate = (operation: SocketBody['operations'][number], answers: object = {}) =>
    shop()
      .clinic.as('technician')
      .post(`/api/v1/operations/${operation.id}/records`, {
        answers: { ...goodAnswers(shop(), operation), ...answers },
      });
  let lots = 0;
  const batchOf = (kind: string, over: object = {}) =>
    id(
      shop()
        .clinic.as('technician')
        .post('/api/v1/batches', {
          kind,
          name: `Invented ${kind}`,
          lot: `CUP-${(lots += 1)}`,
          receivedOn: '2026-01-05',
          quantity: 900,
          unit: 'g',
          ...(kind === 'pigment' ? {} : { resinProductId: shop().resinProduct }),
          ...over,
        }),
    );
  return {
    laidUpSocket,
    recipeFor,
    cupOf,
    firstCup,
    weigh,
    readResin,
    leftOf,
    rework,
    laminateOf,
    laminate,
    batchOf,
  };
}
