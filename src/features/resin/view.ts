/** What is told of a socket's resin: recipe, cups, clocks, at the time of the act. */
import { cupCaution, cupsLacking, newestReading, resinLacking } from '../../domain/cups.ts';
import { recipeCautions, RESIN_FORMULAS } from '../../domain/recipeNotes.ts';
import { curedAt, minutesLeft } from '../../domain/weighing.ts';
import type { Act } from '../../store/act.ts';
import { loadOperations } from '../../store/operations.ts';
import { orRefuse } from '../../store/refused.ts';
import { cupsOf, type Cups, type ReadingRow } from '../../store/resin.ts';
import { loadSocket } from '../../store/sockets.ts';
import type { RecipeView, ResinView } from './schemas.ts';

/** The resin of a socket as it stands at the time of the act. */
export async function readResin(act: Act, socketId: string): Promise<ResinView> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  const cups = await cupsOf(act, socketId);
  const operations = await loadOperations(act.tx, act.clinicId, socketId);
  const laminatedAt =
    operations.findLast(({ kind, state }) => kind === 'laminate' && state === 'done')?.doneAt ??
    null;
  return {
    socketId,
    socketNumber: socket.number,
    recipe: cups === null ? null : recipeView(cups),
    cups:
      cups?.states.map((state, index) => {
        const pour = index + 1;
        const newest = newestReading(cups.readings, pour);
        const runs = laminatedAt === null && state !== 'rejected' && state !== 'spent';
        return {
          pour,
          state,
          readings: cups.readings.filter((reading) => reading.pour === pour),
          caution: laminatedAt === null ? cupCaution(state, newest) : null,
          clock: newest === undefined || !runs ? null : clockOf(newest, act.at),
        };
      }) ?? [],
    stillToWeigh: cups === null || laminatedAt !== null ? [] : cupsLacking(cups.states),
    lacking: socket.kind === 'check' || laminatedAt !== null ? null : resinLacking(cups),
    laminatedAt,
    curedNotBefore:
      laminatedAt === null || cups === null
        ? null
        : orRefuse(curedAt(laminatedAt, cups.recipe.product)),
    asOf: act.at,
  };
}

function clockOf({ mixedAt, workMinutes }: ReadingRow, at: Date) {
  if (workMinutes === null) return null;
  return { mixedAt, ...orRefuse(minutesLeft(mixedAt, at, workMinutes)) };
}

export function recipeView({ recipe: row, ofLayup }: Cups): RecipeView {
  const { recipe, ...rest } = row;
  return {
    ...rest,
    ...recipe,
    ofLayup,
    pours: recipe.pours.map((pour, index) => ({ pour: index + 1, ...pour })),
    cautions: recipeCautions(recipe, row.product),
    formulas: RESIN_FORMULAS,
  };
}
