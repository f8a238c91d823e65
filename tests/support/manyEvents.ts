/** A long record in a short time: numbered and chained here as the trigger does it, past the trigger. */
import { createHash, randomUUID } from 'node:crypto';
import { chainText, CHAIN_START, leafText } from '../../src/domain/eventChain.ts';
import type { Store } from '../../src/store/open.ts';

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const AT_ONCE = 10_000;

/** Writes `count` more events of a clinic. */
export async function manyEvents(
  {
    store,
    clinicId,
    clock,
  }: { store: Store; clinicId: string; clock: { readonly now: () => Date } },
  count: number,
): Promise<void> {
  const [head] = await store.raw<{ seq: number; chain: string }>(
    'select seq::int as seq, chain_sha256 as chain from event_head where clinic_id = $1',
    [clinicId],
  );
  let seq = head?.seq ?? 0;
  let chain = head?.chain ?? CHAIN_START.chainSha256;
  const at = clock.now().toISOString();
  const subjectId = randomUUID();
  for (let left = count; left > 0; left -= AT_ONCE) {
    const rows = Array.from({ length: Math.min(left, AT_ONCE) }, () => {
      seq += 1;
      const id = randomUUID();
      const leaf = {
        at,
        clinicId,
        data: { weekly: seq, before: 'as it was', after: 'as it is' },
        id,
      };
      const about = { kind: 'order.changed', orderId: null, personId: null };
      const leafSha256 = sha256(leafText({ ...leaf, ...about, subjectId, subjectKind: 'order' }));
      chain = sha256(chainText(chain, leafSha256));
      return { seq, id, data: leaf.data, leaf: leafSha256, chain };
    });
    await store.ownerTransaction(async (owner) => {
      await owner.script('set local session_replication_role = replica');
      await owner.query(
        `insert into event (clinic_id, seq, id, at, kind, subject_kind, subject_id, data, leaf_sha256, chain_sha256)
         select $1::uuid, r.seq, r.id, $2::timestamptz, 'order.changed', 'order', $3::uuid, r.data, r.leaf, r.chain
         from jsonb_to_recordset($4::jsonb) as r(seq bigint, id uuid, data jsonb, leaf text, chain text)`,
        [clinicId, at, subjectId, JSON.stringify(rows)],
      );
      await owner.query(
        `insert into event_head (clinic_id, seq, chain_sha256) values ($1::uuid, $2, $3)
         on conflict (clinic_id) do update set seq = excluded.seq, chain_sha256 = excluded.chain_sha256`,
        [clinicId, String(seq), chain],
      );
    });
  }
}
