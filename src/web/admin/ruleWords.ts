/** A row of the layup rules in the language that is shown: for whom, and the layers inside to outside. */
import { type LayupLine, type LayupRow } from '../../domain/layupRules.ts';
import { LEVELS } from '../../domain/words.ts';
import { words } from '../words/words.ts';

/** @param nameOf of a fabric's id, or of a material */
export function layerWords(
  line: LayupLine,
  nameOf = (material: string): string => material.replaceAll('_', ' '),
): string {
  const { admin, fitting, signing } = words.value;
  if (line.kind === 'tooling_plate') return signing.lineKinds.tooling_plate;
  const { fabric, layers, direction, reflected } = line;
  return admin.rules.line(nameOf(fabric), layers, fitting.directions[direction], reflected);
}

export function rowWords(row: LayupRow): {
  readonly name: string;
  readonly who: string;
  readonly layers: readonly string[];
} {
  const { admin, levels: named } = words.value;
  const { rules: say } = admin;
  const levels =
    row.levels.length === LEVELS.length
      ? say.everyLevel
      : row.levels.map((level) => named[level]).join(', ');
  const grades = row.functionalLevels.join(', ');
  return {
    name: row.name,
    who: say.who(row.aboveKg, row.upToKg, `${grades} · ${levels}`),
    layers: row.lines.map((line) => layerWords(line)),
  };
}
