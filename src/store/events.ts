import { createHash } from 'node:crypto';
import { v7 as uuidv7 } from 'uuid';
import { canonicalJson } from '../domain/canonical.ts';
import type { Tx } from './tx.ts';

/** JSON that goes into an event or a signature: no dates, no undefined. */
export type Json =
  string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/** What happened, to what. `data` holds what changed, with the value before where there was one. */
export interface NewEvent {
  /** In the past tense, subject first: `order.opened`, `item.moved`. */
  readonly kind: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly orderId?: string;
  readonly data: Readonly<Record<string, Json>>;
}

/** SHA-256 (hex) of a value's RFC 8785 canonical JSON. */
export const contentSha256 = (content: Json): string =>
  createHash('sha256').update(canonicalJson(content), 'utf8').digest('hex');

/**
 * Writes a transaction's events (R11). The database numbers and chains them and
 * holds the clinic's chain head until commit, so this is always the last
 * statement of a transaction.
 */
export async function writeEvents(
  tx: Tx,
  facts: { clinicId: string; personId: string | null; at: Date },
  events: readonly NewEvent[],
): Promise<void> {
  if (events.length === 0) return;
  const rows = events.map((event) => {
    const id = uuidv7();
    const leaf = {
      at: facts.at.toISOString(),
      clinicId: facts.clinicId,
      data: event.data,
      id,
      kind: event.kind,
      orderId: event.orderId ?? null,
      personId: facts.personId,
      subjectId: event.subjectId,
      subjectKind: event.subjectKind,
    };
    return {
      id,
      at: leaf.at,
      person_id: facts.personId,
      kind: event.kind,
      subject_kind: event.subjectKind,
      subject_id: event.subjectId,
      order_id: leaf.orderId,
      data: event.data,
      leaf_sha256: contentSha256(leaf),
    };
  });
  await tx.$executeRaw`
    insert into event (clinic_id, seq, id, at, person_id, kind, subject_kind, subject_id, order_id, data, leaf_sha256, chain_sha256)
    select ${facts.clinicId}::uuid, 0, r.id, r.at, r.person_id, r.kind, r.subject_kind, r.subject_id, r.order_id, r.data, r.leaf_sha256, ''
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r(
      id uuid, at timestamptz, person_id uuid, kind text, subject_kind text, subject_id uuid, order_id uuid, data jsonb, leaf_sha256 text)`;
}
