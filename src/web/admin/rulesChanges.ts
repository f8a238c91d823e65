/** What differs between two versions of the layup rules, in sentences. */
import type { LayupRules } from '../../domain/layupRules.ts';
import { words } from '../words/words.ts';
import { FIGURES, type Figure } from './rulesDraft.ts';
import { rowWords } from './ruleWords.ts';

type Compared = Pick<
  LayupRules,
  'topBodyMassKg' | 'fibreMassFraction' | 'allowances' | 'rows' | 'version'
>;

const figureOf = (rules: Compared, name: Figure): number =>
  name === 'topBodyMassKg' || name === 'fibreMassFraction' ? rules[name] : rules.allowances[name];

export function rulesChanges(before: Compared, after: Compared): string[] {
  const { rules: say } = words.value.admin;
  const figures = FIGURES.flatMap((name) => {
    const [was, is] = [figureOf(before, name), figureOf(after, name)];
    return was === is ? [] : [say.figureChanged(say.figures[name], was, is)];
  });
  const [were, are] = [before.rows.map(rowWords), after.rows.map(rowWords)];
  const rows = are.flatMap((row) => {
    const was = were.find(({ name }) => name === row.name);
    if (was === undefined) return [say.rowAdded(row.name, row.who)];
    return [
      ...(was.who === row.who ? [] : [say.whoChanged(row.name, was.who, row.who)]),
      ...layerChanges(row.name, was.layers, row.layers),
    ];
  });
  const gone = were
    .filter(({ name }) => are.every((row) => row.name !== name))
    .map(({ name, who }) => say.rowTakenOut(name, who));
  return [...figures, ...rows, ...gone];
}

/** Layers that are new and that are gone; where there are neither, their order. */
function layerChanges(row: string, were: readonly string[], are: readonly string[]): string[] {
  const { rules: say } = words.value.admin;
  if (were.join('; ') === are.join('; ')) return [];
  const beyond = (list: readonly string[], other: readonly string[]): string[] => {
    const left = [...other];
    return list.filter((layer) => {
      const at = left.indexOf(layer);
      if (at >= 0) left.splice(at, 1);
      return at < 0;
    });
  };
  const [added, gone] = [beyond(are, were), beyond(were, are)];
  if (added.length === 0 && gone.length === 0) return [say.layersOrdered(row, are.join('; '))];
  return [
    ...added.map((layer) => say.layerAdded(row, layer)),
    ...gone.map((layer) => say.layerGone(row, layer)),
  ];
}
