/**
 * What the trace tells of the records that the bench works out for a limb: its measures
 * and what was decided on them (C1), layups (C2), resin (C3), labels that the
 * catalogue did not know (C9). Shapes and SQL as in traceDetails.ts.
 */
import { z } from 'zod';
import { VOLUME_DECISIONS } from '../domain/limbVolume.ts';
import { MEASURE_OCCASIONS } from '../domain/measures.ts';
import type { TraceKind } from '../domain/trace.ts';
import { UDI_ISSUERS } from '../domain/udi.ts';
import { BATCH_KINDS, BATCH_UNITS } from '../domain/words.ts';
import { StoredLine } from './layupJson.ts';

const day = z.iso.date();
/** Why evidence did not count, as it was said then. */
export const because = z.array(z.object({ code: z.string(), detail: z.string() }));

const comparedSet = z.object({
  measureSetId: z.string(),
  orderNumber: z.string(),
  occasion: z.enum(MEASURE_OCCASIONS),
  castNumber: z.int().nullable(),
  takenOn: day,
});

export const BENCH_DETAILS = {
  measures: z.object({
    occasion: z.enum(MEASURE_OCCASIONS).exclude(['cast']),
    takenOn: day,
    limbLengthMm: z.number(),
    capDepthMm: z.number().nullable(),
    measures: z
      .array(z.object({ heightMm: z.number(), circumferenceMm: z.number() }))
      .describe('From the distal end upwards.'),
    note: z.string().nullable(),
  }),
  volume_decision: z.object({
    decision: z.enum(VOLUME_DECISIONS),
    why: z.string().nullable(),
    first: comparedSet,
    second: comparedSet,
    differenceMl: z.number().describe('Second less first: negative where the limb has shrunk.'),
    percent: z.number(),
    ply: z.int().describe('Ply of sock to add (positive) or to take off.'),
    limitPercent: z.number().describe('The clinic’s limit of that moment.'),
  }),
  layup: z.object({
    step: z.enum(['drafted', 'approved']),
    layup: z.int().describe('Number of the layup within the socket.'),
    rule: z
      .object({ version: z.int(), row: z.string().nullable() })
      .nullable()
      .describe('The clinic’s rules that proposed it; null where it is not what they propose.'),
    why: z.string().nullable().describe('Why it is not, or why it supersedes an approved one.'),
    layers: z.array(StoredLine).describe('Inside to outside; fabrics by their names of then.'),
    fabricMassG: z.number().describe('Dry fabric as cut.'),
    wallThicknessMm: z.number(),
    signatureId: z.string().nullable().describe('Of the approval; null at the draft.'),
    standsNow: z.boolean().describe('False where a later one supersedes it.'),
  }),
  recipe: z.object({
    recipe: z.int().describe('Number of the recipe within the socket.'),
    layup: z.int().describe('Number of the layup that it is worked out from.'),
    product: z.object({
      name: z.string(),
      partsResin: z.number(),
      partsHardener: z.number(),
      ratioTolerancePercent: z.number(),
      document: z.string(),
      revision: z.string(),
    }),
    neededG: z.number().describe('What fabric and losses ask for, before margin and rounding.'),
    resinG: z.number(),
    hardenerG: z.number(),
    pigmentG: z.number(),
    cups: z.int(),
    standsNow: z.boolean().describe('False where a later one supersedes it.'),
  }),
  weighing: z.object({
    recipe: z.int().describe('Number of the recipe within the socket.'),
    cup: z.int(),
    attempt: z.int(),
    putsRight: z.boolean().describe('More was put into the cup as it stood; else a fresh cup.'),
    resinG: z.number().describe('In the cup, with what was in it before.'),
    hardenerG: z.number(),
    pigmentG: z.number(),
    offRatioPercent: z
      .number()
      .describe('Hardener more (or less, negative) than the resin asks for.'),
    ratioTolerancePercent: z.number().describe('What the product’s sheet allowed then.'),
    stopped: z.boolean(),
    because: because.describe('What stopped the work; empty where the cup could be poured.'),
    findingId: z.string().nullable(),
    mixedAt: z.iso.datetime(),
    batches: z
      .array(
        z.object({
          batchId: z.string(),
          batchKind: z.enum(BATCH_KINDS),
          name: z.string(),
          lot: z.string(),
          amount: z.number().nullable(),
          unit: z.enum(BATCH_UNITS),
        }),
      )
      .describe('What this reading drew from which batch; null where it is not kept in grams.'),
  }),
  part_draft: z.object({
    step: z.enum(['scanned', 'resolved']),
    issuer: z.enum(UDI_ISSUERS),
    deviceIdentifier: z.string(),
    serial: z.string().nullable().describe('Of the label that was scanned first.'),
    lot: z.string().nullable(),
    part: z.string().nullable().describe('What it became; null at the scan, or where set aside.'),
    note: z.string().nullable().describe('Why it was set aside.'),
  }),
} as const satisfies Partial<Record<TraceKind, z.ZodType>>;

const comparedSetSql = (column: 'first_set_id' | 'second_set_id'): string =>
  `(select jsonb_build_object('measureSetId', s.id, 'orderNumber', f.number, 'occasion', s.occasion,
      'castNumber', k.number, 'takenOn', s.taken_on)
    from measure_set s
    join fabrication_order f on f.clinic_id = s.clinic_id and f.id = s.order_id
    left join limb_cast k on k.clinic_id = s.clinic_id and k.id = s.cast_id
    where s.clinic_id = x.clinic_id and s.id = x.${column})`;

/** By kind, the details of the record `p.record_id` at step `p.step`, as one jsonb. */
export const READ_BENCH = {
  measures: `select jsonb_build_object('occasion', x.occasion, 'takenOn', x.taken_on, 'limbLengthMm', x.limb_length_mm,
      'capDepthMm', x.cap_depth_mm, 'note', x.note, 'measures', coalesce((
        select jsonb_agg(jsonb_build_object('heightMm', h.height_mm, 'circumferenceMm', h.circumference_mm) order by h.height_mm)
        from measure h where h.clinic_id = x.clinic_id and h.measure_set_id = x.id), '[]'::jsonb))
    from measure_set x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  volume_decision: `select jsonb_build_object('decision', x.decision, 'why', x.why, 'differenceMl', x.difference_ml,
      'percent', x.percent, 'ply', x.ply, 'limitPercent', x.limit_percent,
      'first', ${comparedSetSql('first_set_id')}, 'second', ${comparedSetSql('second_set_id')})
    from volume_decision x where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  // When it was drafted, its approval was not known. The basis is read once for all layers.
  layup: `select jsonb_build_object('step', case p.step when 0 then 'drafted' else 'approved' end, 'layup', x.running,
      'rule', case when r.id is not null then jsonb_build_object('version', r.version, 'row', x.rule_row) end, 'why', x.why,
      'fabricMassG', x.figures -> 'fabricMassG', 'wallThicknessMm', x.figures -> 'wallThicknessMm',
      'signatureId', case p.step when 1 then x.signature_id end, 'standsNow', x.superseded_at is null,
      'layers', (select coalesce(jsonb_agg(
          case when l.line ->> 'kind' = 'fabric'
            then l.line || jsonb_build_object('fabric', coalesce(n.names ->> (l.line ->> 'fabric'), l.line ->> 'fabric'))
            else l.line end order by l.n), '[]'::jsonb)
        from (select jsonb_object_agg(f ->> 'id', f ->> 'name') as names
          from jsonb_array_elements(x.basis -> 'fabrics') f) n,
          jsonb_array_elements(x.lines) with ordinality as l(line, n)))
    from layup x left join layup_rule_set r on r.clinic_id = x.clinic_id and r.id = x.rule_set_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  recipe: `select jsonb_build_object('recipe', x.running, 'layup', l.running, 'product', x.product,
      'neededG', x.recipe -> 'neededG', 'resinG', x.recipe -> 'resinG', 'hardenerG', x.recipe -> 'hardenerG',
      'pigmentG', x.recipe -> 'pigmentG', 'cups', jsonb_array_length(x.recipe -> 'pours'),
      'standsNow', x.superseded_at is null)
    from resin_recipe x join layup l on l.clinic_id = x.clinic_id and l.id = x.layup_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  weighing: `select jsonb_build_object('recipe', y.running, 'cup', x.pour, 'attempt', x.attempt,
      'putsRight', x.puts_right_id is not null, 'resinG', x.resin_g, 'hardenerG', x.hardener_g, 'pigmentG', x.pigment_g,
      'offRatioPercent', x.off_ratio_percent, 'ratioTolerancePercent', y.product -> 'ratioTolerancePercent',
      'stopped', x.stops <> '[]'::jsonb, 'because', x.stops, 'findingId', x.finding_id,
      'mixedAt', to_char(x.mixed_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"'),
      'batches', coalesce((
        select jsonb_agg(jsonb_build_object('batchId', b.id, 'batchKind', b.kind, 'name', b.name, 'lot', b.lot,
            'amount', u.amount, 'unit', b.unit) order by u.id)
        from batch_use u join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
        where u.clinic_id = x.clinic_id and u.resin_weighing_id = x.id), '[]'::jsonb))
    from resin_weighing x join resin_recipe y on y.clinic_id = x.clinic_id and y.id = x.recipe_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
  part_draft: `select jsonb_build_object('step', case p.step when 0 then 'scanned' else 'resolved' end, 'issuer', x.issuer,
      'deviceIdentifier', x.device_identifier, 'serial', x.said -> 'serial', 'lot', x.said -> 'lot',
      'part', case p.step when 1 then t.name end, 'note', case p.step when 1 then x.note end)
    from part_draft x left join part t on t.clinic_id = x.clinic_id and t.id = x.part_id
    where x.clinic_id = p.clinic_id and x.id = p.record_id`,
} as const satisfies Record<keyof typeof BENCH_DETAILS, string>;
