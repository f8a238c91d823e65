/** What must hold in a whole record, as its owner sees it: for what was restored. */
import { createHash } from 'node:crypto';
import {
  CHAIN_START,
  endsEarly,
  verifyEvents,
  type ChainedEvent,
  type ChainHead,
} from '../domain/eventChain.ts';
import type { JsonValue } from '../domain/canonical.ts';
import { valuesKept, type SealedValue } from '../domain/seals.ts';
import type { ColumnCipher } from './columnCipher.ts';
import type { OwnerSql } from './database.ts';
import { KeptSealed, openSealed } from './sealedValues.ts';

/** Statements that find nothing where all is well, by what they would have found. */
export const CUSTODY_IS_THE_MOVES: Readonly<Record<string, string>> = {
  'R1, R2: custody is not the last move of a gapless ledger': `
    with ledger as (
      select clinic_id, coalesce(item_id, shop_tool_id) as thing_id, count(*) as moves,
        min(seq) as first, max(seq) as last
      from move group by 1, 2)
    select c.thing_id, l.thing_id as moved, c.seq, l.moves
    from custody c full join ledger l on l.clinic_id = c.clinic_id and l.thing_id = c.thing_id
    left join move m on m.clinic_id = c.clinic_id and m.id = c.last_move_id
    where c.thing_id is null or l.thing_id is null or l.first <> 1 or l.last <> l.moves
      or c.seq <> l.last or m.seq <> l.last or m.to_place_id <> c.place_id
      or coalesce(m.item_id, m.shop_tool_id) <> c.thing_id`,
  'R2: a move begins elsewhere than the one before it ended': `
    select id from (
      select id, from_place_id, lag(to_place_id) over (
        partition by clinic_id, coalesce(item_id, shop_tool_id) order by seq) as before
      from move) m
    where from_place_id is distinct from before`,
};

/** Where custody is not what the moves make it (R1, R2), in words. */
export async function custodyBreaches(query: OwnerSql['query']): Promise<string[]> {
  const found: string[] = [];
  for (const [what, sql] of Object.entries(CUSTODY_IS_THE_MOVES)) {
    const rows = await query(sql);
    found.push(...rows.map((row) => `${what}: ${JSON.stringify(row)}`));
  }
  return found;
}

export interface ClinicHead extends ChainHead {
  readonly clinicId: string;
}

/** The head of each clinic's chain, as the database keeps it. */
export async function chainHeads(query: OwnerSql['query']): Promise<ClinicHead[]> {
  const rows = await query<{ id: string; seq: number; chain: string }>(
    'select clinic_id::text as id, seq, chain_sha256 as chain from event_head order by clinic_id',
  );
  return rows.map(({ id, seq, chain }) => ({
    clinicId: id,
    seq,
    chainSha256: chain,
  }));
}

const sha256 = (text: string): Promise<string> =>
  Promise.resolve(createHash('sha256').update(text, 'utf8').digest('hex'));

interface EventRow {
  readonly seq: number;
  readonly id: string;
  readonly at: Date;
  readonly person_id: string | null;
  readonly kind: string;
  readonly subject_kind: string;
  readonly subject_id: string;
  readonly order_id: string | null;
  readonly data: Readonly<Record<string, JsonValue>>;
  readonly sealed: KeptSealed;
  readonly leaf_sha256: string;
  readonly chain_sha256: string;
}

const A_PAGE = 1_000;

/**
 * Works a clinic's whole chain out again, from nought to its head (R11).
 * @param cipher opens what is sealed, which is then held against its seals; left out where the
 *   record is from before it was encrypted: seals are not opened then
 * @returns what is wrong, in words; undefined where nothing is
 */
export async function chainBreach(
  query: OwnerSql['query'],
  head: ClinicHead,
  cipher: ColumnCipher | undefined,
): Promise<string | undefined> {
  const { clinicId } = head;
  let so: ChainHead = CHAIN_START;
  for (;;) {
    const rows = await query<EventRow & Record<string, unknown>>(
      `select seq, id, at, person_id, kind, subject_kind, subject_id, order_id, data,
         ${cipher === undefined ? 'null::jsonb' : 'sealed'} as sealed, leaf_sha256, chain_sha256
       from event where clinic_id = $1 and seq > $2 order by seq limit ${A_PAGE}`,
      [clinicId, so.seq],
    );
    if (rows.length === 0) break;
    const events = rows.map((row) => chained(clinicId, row, cipher));
    const { head: reached, fault } = await verifyEvents(sha256, so, events);
    if (fault !== null) {
      return `the chain of events of clinic ${clinicId} breaks at event ${fault.seq} (${fault.kind})`;
    }
    so = reached;
  }
  const early = endsEarly(so, head.seq);
  if (early !== null) return `the chain of events of clinic ${clinicId} ends before ${head.seq}`;
  if (so.seq !== head.seq || so.chainSha256 !== head.chainSha256) {
    return `the chain of events of clinic ${clinicId} has another head than was noted`;
  }
  return undefined;
}

function chained(clinicId: string, row: EventRow, cipher: ColumnCipher | undefined): ChainedEvent {
  return {
    seq: row.seq,
    chainSha256: row.chain_sha256,
    leafSha256: row.leaf_sha256,
    leaf: {
      at: row.at.toISOString(),
      clinicId,
      data: row.data,
      id: row.id,
      kind: row.kind,
      orderId: row.order_id,
      personId: row.person_id,
      subjectId: row.subject_id,
      subjectKind: row.subject_kind,
    },
    opened: opened(clinicId, row, cipher),
  };
}

function opened(
  clinicId: string,
  { id, sealed }: EventRow,
  cipher: ColumnCipher | undefined,
): Readonly<Record<string, SealedValue>> {
  if (sealed === null || cipher === undefined) return {};
  // What was erased is held against nothing: its seal stays in the chain.
  return valuesKept(openSealed(cipher, { clinicId, eventId: id }, KeptSealed.parse(sealed)) ?? {});
}
