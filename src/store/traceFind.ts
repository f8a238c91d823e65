/** What a typed or scanned text could be the name of, kind by kind. */
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import type { Sql } from './traceBranches.ts';

/** A kind that things are found by; patients are sought by their own search. */
export type FoundBy = 'order' | 'socket' | 'serial' | 'lot' | 'batch' | 'tool' | 'person';

const FoundRow = z.object({
  by: z.enum(['order', 'socket', 'serial', 'lot', 'batch', 'tool', 'person']),
  /** What the trace is asked by. */
  key: z.string(),
  name: z.string(),
  about: z.string(),
  exact: z.boolean(),
});
export type FoundRow = z.infer<typeof FoundRow>;

export interface Wanted {
  /** As typed, without blanks at the ends. */
  readonly text: string;
  /** What a number, a link or a label says instead, where the text is one. */
  readonly order?: string;
  readonly socket?: string;
  readonly serial?: string;
  readonly lot?: string;
}

/** Names of one kind: equal ones first, then those that begin so or hold the text. */
const PARTS: Readonly<Record<FoundBy, (act: Act, wanted: Wanted) => Sql>> = {
  order: ({ clinicId }, { text, order }) => Prisma.sql`
    select o.number as key, o.number as name, t.chart_number || ', ' || o.side || ', ' || replace(o.stage, '_', ' ') as about,
      o.number = ${order ?? ''} as exact
    from fabrication_order o join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
    where o.clinic_id = ${clinicId}::uuid
      and (o.number = ${order ?? ''} or starts_with(o.number, upper(${text})))`,
  socket: ({ clinicId }, { text, socket }) => Prisma.sql`
    select s.number as key, s.number as name, s.kind || ', ' || replace(s.state, '_', ' ') as about,
      s.number = ${socket ?? ''} as exact
    from socket s where s.clinic_id = ${clinicId}::uuid
      and (s.number = ${socket ?? ''} or (starts_with(s.number, upper(${text})) and strpos(${text}, '/') > 0))`,
  serial: ({ clinicId }, wanted) => Prisma.sql`
    select i.serial as key, i.serial as name, string_agg(distinct pt.name, ', ') as about,
      upper(i.serial) = upper(${wanted.serial ?? wanted.text}) as exact
    from item i join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
    where i.clinic_id = ${clinicId}::uuid and starts_with(upper(i.serial), upper(${wanted.serial ?? wanted.text}))
    group by i.serial`,
  lot: ({ clinicId }, wanted) => Prisma.sql`
    select i.lot as key, i.lot as name, count(*) || ' × ' || string_agg(distinct pt.name, ', ') as about,
      upper(i.lot) = upper(${wanted.lot ?? wanted.text}) as exact
    from item i join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
    where i.clinic_id = ${clinicId}::uuid and starts_with(upper(i.lot), upper(${wanted.lot ?? wanted.text}))
    group by i.lot`,
  batch: ({ clinicId }, { text }) => Prisma.sql`
    select b.id::text as key, b.name || ' lot ' || b.lot as name, replace(b.kind, '_', ' ') || ', received ' || b.received_on as about,
      upper(b.lot) = upper(${text}) as exact
    from batch b where b.clinic_id = ${clinicId}::uuid
      and (starts_with(upper(b.lot), upper(${text})) or strpos(lower(b.name), lower(${text})) > 0)`,
  tool: ({ clinicId }, { text }) => Prisma.sql`
    select t.name as key, t.name as name, replace(t.kind, '_', ' ') || coalesce(', serial ' || t.serial, '') as about,
      upper(t.name) = upper(${text}) or upper(t.serial) = upper(${text}) as exact
    from shop_tool t where t.clinic_id = ${clinicId}::uuid
      and (strpos(lower(t.name), lower(${text})) > 0 or upper(t.serial) = upper(${text}))`,
  person: ({ clinicId, by }, { text }) => Prisma.sql`
    select n.id::text as key, n.printed_name as name, case when n.active then 'works here' else 'works here no more' end as about,
      lower(n.printed_name) = lower(${text}) as exact
    from person n where n.clinic_id = ${clinicId}::uuid and strpos(lower(n.printed_name), lower(${text})) > 0
      and (n.id = ${by.personId}::uuid or ${by.roles.some((role) => role === 'auditor' || role === 'administrator')})`,
};

/** Finds what the text could be, at most `limit` of each kind, equal names first. */
export async function findNamed(
  act: Act,
  kinds: readonly FoundBy[],
  wanted: Wanted,
  limit: number,
): Promise<FoundRow[]> {
  if (kinds.length === 0) return [];
  const parts = kinds.map(
    (
      by,
    ) => Prisma.sql`(select ${by}::text as by, x.key, x.name, x.about, coalesce(x.exact, false) as exact
      from (${PARTS[by](act, wanted)}) x order by x.exact desc, x.name desc limit ${limit}::int)`,
  );
  return parseRows(
    FoundRow,
    await act.tx.$queryRaw(Prisma.sql`${Prisma.join(parts, ' union all ')}`),
  );
}
