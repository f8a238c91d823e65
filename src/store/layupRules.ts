import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { LayupRules } from '../domain/layupRules.ts';
import type { Act } from './act.ts';
import { asJson } from './json.ts';
import { StoredRules } from './layupJson.ts';
import { parseRows } from './rows.ts';

const RuleSetRow = z.object({
  id: z.string(),
  version: z.number(),
  rules: StoredRules,
  createdAt: z.date(),
  createdBy: z.string().nullable(),
  supersededAt: z.date().nullable(),
});

/** A version of the clinic's layup rules, with who wrote it and when. */
export type LayupRuleSet = z.infer<typeof RuleSetRow>;

/** Every version of the clinic's layup rules, the one in force first. */
export const listLayupRules = async (act: Act): Promise<LayupRuleSet[]> => ruleSets(act, true);

/** The layup rules in force. */
export async function currentLayupRules(act: Act): Promise<LayupRuleSet> {
  const [current] = await ruleSets(act, false);
  if (current === undefined) throw new Error(`Clinic ${act.clinicId} has no layup rules.`);
  return current;
}

const ruleSets = async (act: Act, everyVersion: boolean): Promise<LayupRuleSet[]> =>
  parseRows(
    RuleSetRow,
    await act.tx.$queryRaw`
      select r.id, r.version, r.rules, r.created_at as "createdAt", p.printed_name as "createdBy",
        r.superseded_at as "supersededAt"
      from layup_rule_set r left join person p on p.clinic_id = r.clinic_id and p.id = r.created_by_id
      where r.clinic_id = ${act.clinicId}::uuid and (${everyVersion}::boolean or r.superseded_at is null)
      order by r.version desc`,
  );

/** Writes the version after `before`, which it supersedes; the caller holds the rules (`holdFabricsAndRules`). */
export async function writeLayupRules(
  act: Act,
  before: LayupRuleSet,
  rules: LayupRules,
): Promise<string> {
  const { tx, clinicId, at } = act;
  await tx.layupRuleSet.update({
    where: { clinicId_id: { clinicId, id: before.id } },
    data: { supersededAt: at },
  });
  const id = uuidv7();
  await tx.layupRuleSet.create({
    data: {
      clinicId,
      id,
      version: rules.version,
      rules: asJson(rules),
      createdAt: at,
      createdById: act.by.personId,
    },
  });
  return id;
}
