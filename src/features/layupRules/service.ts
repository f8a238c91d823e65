import { judgeLayupRules, layupRuleTable } from '../../domain/layupRules.ts';
import type { Act } from '../../store/act.ts';
import { holdFabricsAndRules, listFabrics } from '../../store/fabrics.ts';
import {
  currentLayupRules,
  listLayupRules,
  writeLayupRules,
  type LayupRuleSet,
} from '../../store/layupRules.ts';
import { plainJson } from '../../store/json.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { refuseStale } from '../../store/versions.ts';
import type { LayupRulesToWrite, LayupRulesView } from './schemas.ts';

/** The layup rules in force, as a table and in words. */
export const readLayupRules = async (act: Act): Promise<LayupRulesView> =>
  viewOf(await currentLayupRules(act));

/** Every version of the rules, the one in force first. */
export const readEveryVersion = async (act: Act): Promise<{ items: LayupRulesView[] }> => ({
  items: (await listLayupRules(act)).map(viewOf),
});

/**
 * Writes the next version of the rules. Layups drafted before keep theirs.
 * @throws Refused with everything against them: gaps, overlaps, layers that cannot be laid;
 *   'version-is-stale' where they were made from others than those in force
 */
export async function newLayupRules(
  act: Act,
  { basedOnVersion, ...input }: LayupRulesToWrite,
): Promise<LayupRulesView> {
  await holdFabricsAndRules(act);
  const before = await currentLayupRules(act);
  if (before.version !== basedOnVersion) refuseStale(basedOnVersion, before.version);
  const rules = { ...input, version: before.version + 1 };
  refuseIfAny(judgeLayupRules(rules, await listFabrics(act, false)));
  const id = await writeLayupRules(act, before, rules);
  act.record({
    kind: 'layup_rules.written',
    subjectKind: 'layup_rule_set',
    subjectId: id,
    data: {
      version: rules.version,
      supersedes: before.id,
      rules: { before: plainJson(before.rules), after: plainJson(rules) },
    },
  });
  return readLayupRules(act);
}

const viewOf = ({ rules, ...set }: LayupRuleSet): LayupRulesView => ({
  ...set,
  ...rules,
  table: layupRuleTable(rules),
});
