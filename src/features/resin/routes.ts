import type { Api } from '../../http/api.ts';
import { makeRecipe } from './recipe.ts';
import {
  CupRecorded,
  CupToRecord,
  RecipeToMake,
  RecipeView,
  ResinView,
  SocketParams,
} from './schemas.ts';
import { readResin } from './view.ts';
import { recordCup } from './weighing.ts';

const tag = 'Resin';

/** The resin of a definitive socket: its recipe, its cups, its clocks. */
export function resinRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/resin-recipes',
      name: 'makeResinRecipe',
      tag,
      summary: 'Work out the resin for the approved layup',
      description:
        'From fabric mass and fibre fraction to grams on the scale, cup by cup (C3). Supersedes the recipe before, unless a cup of it may be poured or is stopped.',
      params: SocketParams,
      body: RecipeToMake,
      answer: RecipeView,
    },
    (act, { params, body }) => makeRecipe(act, params.socketId, body),
  );
  api.read(
    {
      url: '/api/v1/sockets/:socketId/resin',
      name: 'readResin',
      tag,
      summary: 'Recipe, cups and clocks of a socket, at this moment',
      params: SocketParams,
      answer: ResinView,
    },
    (act, { params }) => readResin(act, params.socketId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/resin-weighings',
      name: 'recordResinWeighing',
      tag,
      summary: 'Record what the scale showed for one cup',
      description:
        'When everything before the lamination is done. Off ratio, too little, more than the cup limit or more pigment than its share is kept, stops the lamination and opens a finding; the cup is put right or weighed afresh when that is closed by rework. The batches are drawn down.',
      params: SocketParams,
      body: CupToRecord,
      answer: CupRecorded,
    },
    (act, { params, body }) => recordCup(act, params.socketId, body),
  );
}
