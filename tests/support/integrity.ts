/** What must hold in the whole record at any moment, whatever happened to the service before. */
import { createHash } from 'node:crypto';
import canonicalizeModule from 'canonicalize';
import type { ColumnCipher } from '../../src/store/columnCipher.ts';
import { CUSTODY_IS_THE_MOVES } from '../../src/store/recordChecks.ts';
import type { OwnerSql } from '../../src/store/database.ts';
import { testCipher } from './columnKeys.ts';

type Query = OwnerSql['query'];

// CommonJS under types of an ES module: the import is the function itself.
const canonicalize = canonicalizeModule as unknown as (value: unknown) => string;

/** Every breach in words; none where all is well. */
export async function breaches(query: Query, cipher = testCipher): Promise<string[]> {
  const found: string[] = [];
  for (const [what, sql] of Object.entries(MUST_BE_EMPTY)) {
    const rows = await query(sql);
    found.push(...rows.map((row) => `${what}: ${JSON.stringify(row)}`));
  }
  return [...found, ...(await unansweredBy(query, cipher)), ...(await chainBreaches(query))];
}

/** R13: the event of an answered request has the same person and time, and is about something that the answer names. */
async function unansweredBy(query: Query, cipher: ColumnCipher): Promise<string[]> {
  const rows = await query<{
    key: string;
    clinic: string;
    person: string;
    answer: string;
    erased: boolean;
    named: string[];
  }>(
    `select k.key, k.status = 410 as erased, k.clinic_id::text as clinic, k.person_id::text as person, k.answer #>> '{}' as answer,
       array(select n.named from event e
         cross join lateral (select e.subject_id::text as named
           union all select value from jsonb_each_text(e.data) where length(value) = 36) n
         where e.clinic_id = k.clinic_id and e.person_id = k.person_id and e.at = k.created_at) as named
     from idempotency_key k`,
  );
  return rows
    .filter(({ key, clinic, person, answer, erased, named }) => {
      // What an erasure took names nothing any more.
      if (erased) return named.length === 0;
      const cell = { table: 'idempotency_key', column: 'answer', clinicId: clinic };
      const text = cipher.decryptFor({ ...cell, rowId: `${person} ${key}` }, answer);
      return named.length === 0 || (text !== 'null' && !named.some((id) => text.includes(id)));
    })
    .map(({ key }) => `R13: an answered request without its event: ${key}`);
}

/** A row that a record table has without its event, or an event without its row. */
const withoutEachOther = (table: string, key: string, events: string) => `
  select r.id as row, e.id as event
  from (select id::text from ${table}) r
  full join (select ${key} as id from event where ${events}) e on e.id = r.id
  where r.id is null or e.id is null
  union all
  select 'twice', ${key} from event where ${events} group by ${key} having count(*) > 1`;

const MUST_BE_EMPTY: Readonly<Record<string, string>> = {
  ...CUSTODY_IS_THE_MOVES,
  'R1: two things in one position, or one that holds its position unguarded': `
    select p.name, count(*) as things from custody c
    join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
    where p.kind = 'socket_position'
    group by p.clinic_id, p.id, p.name
    having count(*) > 1 or bool_or(c.exclusive_place_id is distinct from p.id)`,
  'R11: move and event': withoutEachOther('move', `data->>'moveId'`, `kind = 'custody.moved'`),
  'R11: order and event': withoutEachOther(
    'fabrication_order',
    'subject_id::text',
    `kind = 'order.opened'`,
  ),
  'R11: cast and event': withoutEachOther('limb_cast', 'subject_id::text', `kind = 'cast.taken'`),
  'R11: socket and event': withoutEachOther(
    'socket',
    'subject_id::text',
    `kind = 'socket.started'`,
  ),
  'R11: operation record and event': withoutEachOther(
    'operation_record',
    `data->>'recordId'`,
    `kind in ('operation.done', 'operation.stopped')`,
  ),
  'R11: torque confirmation and event': withoutEachOther(
    'torque_confirmation',
    'subject_id::text',
    `subject_kind = 'torque_confirmation' and kind <> 'history.read'`,
  ),
  'R11: lock check and event': withoutEachOther(
    'lock_check',
    'subject_id::text',
    `subject_kind = 'lock_check' and kind <> 'history.read'`,
  ),
  'R11: delivery and event': withoutEachOther(
    'delivery',
    `data->>'deliveryId'`,
    `kind = 'socket.delivered'`,
  ),
  'R11: layup and event': withoutEachOther('layup', 'subject_id::text', `kind = 'layup.drafted'`),
  'layups of a socket with a gap, or none that stands': `
    select socket_id from layup group by clinic_id, socket_id
    having max(running) <> count(*) or count(*) filter (where superseded_at is null) <> 1`,
  'fabric laid before a layup was approved': `
    select o.id from operation o
    join operation_record r on r.clinic_id = o.clinic_id and r.operation_id = o.id and r.outcome = 'done'
    where o.kind = 'lay_up' and not exists (
      select 1 from layup l where l.clinic_id = o.clinic_id and l.socket_id = o.socket_id
        and l.approved_at <= r.recorded_at)`,
  'a torque confirmation without its readings': `
    select id from torque_confirmation t where not exists (
      select 1 from torque_reading r where r.clinic_id = t.clinic_id and r.confirmation_id = t.id)`,
  'a cast without its measures': `
    select id from limb_cast c where not exists (
      select 1 from measure_set s join measure m on m.clinic_id = s.clinic_id and m.measure_set_id = s.id
      where s.clinic_id = c.clinic_id and s.cast_id = c.id)`,
  'a socket without its operations': `
    select id from socket s where not exists (
      select 1 from operation o where o.clinic_id = s.clinic_id and o.socket_id = s.id)`,
  'an operation whose state is neither that of its last record nor what became of a finding on it': `
    select o.id, o.state, r.outcome from operation o
    left join lateral (
      select outcome from operation_record r where r.clinic_id = o.clinic_id and r.operation_id = o.id
      order by attempt desc limit 1) r on true
    left join lateral (
      select f.id, f.disposition from finding f where f.clinic_id = o.clinic_id and f.operation_id = o.id
      order by f.id desc limit 1) f on true
    where case o.state
      when 'done' then r.outcome is distinct from 'done' and f.disposition is distinct from 'accept_as_is'
      when 'stopped' then r.outcome is distinct from 'stopped' and f.id is null
      when 'waiting' then r.outcome is not null and f.disposition is distinct from 'rework'
        -- A cup that was accepted as it is may be poured; pouring it is still to be done.
        and not exists (select 1 from resin_weighing w where w.clinic_id = o.clinic_id and w.finding_id = f.id)
    end`,
  'R11: weighing of a cup and event': withoutEachOther(
    'resin_weighing',
    'subject_id::text',
    `subject_kind = 'resin_weighing' and kind <> 'history.read'`,
  ),
  'C3: laminated with a cup that is not weighed, or was rejected': `
    select o.id, r.running, cup from operation o
    left join resin_recipe r on r.clinic_id = o.clinic_id and r.socket_id = o.socket_id and r.superseded_at is null
    left join lateral generate_series(1, jsonb_array_length(r.recipe->'pours')) cup on true
    left join lateral (
      select w.id, w.stops, f.disposition from resin_weighing w
      left join finding f on f.clinic_id = w.clinic_id and f.id = w.finding_id
      where w.clinic_id = r.clinic_id and w.recipe_id = r.id and w.pour = cup
      order by w.attempt desc limit 1) w on true
    where o.kind = 'laminate' and o.state = 'done'
      and (w.id is null or (w.stops <> '[]' and w.disposition is distinct from 'accept_as_is'))`,
  'C3: more of a batch used than there was': `
    select b.lot from batch b
    join batch_use u on u.clinic_id = b.clinic_id and u.batch_id = b.id
    group by b.clinic_id, b.id, b.lot, b.quantity having sum(u.amount) > b.quantity + 1e-6`,
  'a stage that is not the last of gapless steps': `
    select o.number, o.stage from fabrication_order o
    left join lateral (
      select count(*) as steps, max(seq) as last, min(seq) as first,
        (array_agg(to_stage order by seq desc))[1] as stage
      from stage_change c where c.clinic_id = o.clinic_id and c.order_id = o.id) s on true
    where s.stage is distinct from o.stage or s.last - s.first + 1 <> s.steps`,
  'numbers of orders with a gap, or given twice': `
    select n.clinic_id, n.year, n.last, o.orders from number_counter n
    join lateral (
      select count(*) as orders from fabrication_order o
      join clinic c on c.id = o.clinic_id
      where o.clinic_id = n.clinic_id
        and extract(year from o.opened_at at time zone c.time_zone) = n.year) o on true
    where n.counts = 'order' and n.last <> o.orders`,
  'R8: delivered without a delivery': `
    select number from socket s where state = 'delivered' and not exists (
      select 1 from delivery d where d.clinic_id = s.clinic_id and d.socket_id = s.id)`,
};

interface EventRow {
  readonly clinic_id: string;
  readonly seq: number;
  readonly id: string;
  readonly at: Date;
  readonly person_id: string | null;
  readonly kind: string;
  readonly subject_kind: string;
  readonly subject_id: string;
  readonly order_id: string | null;
  readonly data: unknown;
  readonly leaf_sha256: string;
  readonly chain_sha256: string;
}

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** R11: each clinic's events are numbered without a gap, and their hashes are what they must be. */
async function chainBreaches(query: Query): Promise<string[]> {
  const events = await query<EventRow>('select * from event order by clinic_id, seq');
  const heads = await query<{ clinic_id: string; seq: number; chain_sha256: string }>(
    'select clinic_id, seq, chain_sha256 from event_head',
  );
  const found: string[] = [];
  const ends = new Map<string, { seq: number; chain: string }>();
  for (const event of events) {
    const before = ends.get(event.clinic_id) ?? { seq: 0, chain: '0'.repeat(64) };
    const leaf = sha256(
      canonicalize({
        at: event.at.toISOString(),
        clinicId: event.clinic_id,
        data: event.data,
        id: event.id,
        kind: event.kind,
        orderId: event.order_id,
        personId: event.person_id,
        subjectId: event.subject_id,
        subjectKind: event.subject_kind,
      }),
    );
    const chain = sha256(before.chain + leaf);
    if (event.seq !== before.seq + 1) found.push(`R11: event ${before.seq + 1} is missing`);
    if (event.leaf_sha256 !== leaf) found.push(`R11: event ${event.seq} is not what was hashed`);
    if (event.chain_sha256 !== chain) found.push(`R11: the chain breaks at event ${event.seq}`);
    ends.set(event.clinic_id, { seq: event.seq, chain });
  }
  for (const head of heads) {
    const end = ends.get(head.clinic_id);
    if (end?.seq !== head.seq || end.chain !== head.chain_sha256) {
      found.push(`R11: the head of ${head.clinic_id} is not the last event`);
    }
  }
  if (heads.length !== ends.size) found.push('R11: a clinic with events has no head');
  return found;
}

/** How many events of each kind there are. */
export async function eventCounts(query: Query): Promise<Record<string, number>> {
  const rows = await query<{ kind: string; n: number }>(
    'select kind, count(*) as n from event group by kind',
  );
  return Object.fromEntries(rows.map(({ kind, n }) => [kind, n]));
}

/**
 * Rows of every table, and a digest of their content: equal before and after means that
 * nothing was written. Left out is the count of failed sign-ins, which is kept on purpose.
 */
export async function everything(query: Query): Promise<Record<string, string>> {
  const tables = await query<{ name: string }>(
    `select relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where n.nspname = 'public' and c.relkind = 'r' order by relname`,
  );
  const counts = tables.map(
    ({ name }) => `select '${name}' as name, count(*) as rows, md5(coalesce(string_agg(
      (to_jsonb(t) - 'failed_sign_ins' - 'locked_until')::text, '' order by t::text), '')) as digest
    from "${name}" t`,
  );
  const found = await query<{ name: string; rows: number; digest: string }>(
    counts.join(' union all '),
  );
  return Object.fromEntries(found.map(({ name, rows, digest }) => [name, `${rows} ${digest}`]));
}
