import { createHash, randomBytes } from 'node:crypto';
import { v7 as uuidv7 } from 'uuid';
import { canonicalJson } from '../domain/canonical.ts';
import { leafText } from '../domain/eventChain.ts';
import type { ColumnCipher } from './columnCipher.ts';
import type { EventKind, SubjectKind } from '../domain/eventKinds.ts';
import { openValues, sealedText, sealOf, withValues, type SealedValue } from '../domain/seals.ts';
import { encryptSealed } from './sealedValues.ts';
import type { Tx } from './tx.ts';

/** JSON that goes into an event or a signature: no dates, no undefined. */
export type Json =
  string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/** What happened, to what. `data` holds what changed, with the value before where there was one. */
export interface NewEvent {
  /** In the past tense, subject first: `order.opened`, `item.moved`. */
  readonly kind: EventKind;
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
  readonly orderId?: string;
  readonly data: Readonly<Record<string, Json>>;
}

/** SHA-256 of a text's UTF-8, as lower-case hexadecimal. */
export const textSha256 = (text: string): string =>
  createHash('sha256').update(text, 'utf8').digest('hex');

/** SHA-256 (hex) of a value's RFC 8785 canonical JSON. */
export const contentSha256 = (content: Json): string => textSha256(canonicalJson(content));

/** What is personal to a patient is hashed under a salt; the values go beside the event. */
function sealed({ subjectKind, data }: NewEvent): {
  readonly data: NewEvent['data'];
  readonly values: Readonly<Record<string, SealedValue>> | null;
} {
  const values = [...openValues(subjectKind, data)].map(([path, value]) => {
    const kept: SealedValue = { salt: randomBytes(16).toString('hex'), value };
    return [path, kept] as const;
  });
  if (values.length === 0) return { data, values: null };
  const seals = values.map(([path, kept]) => [path, sealOf(textSha256(sealedText(kept)))] as const);
  return { data: withValues(data, new Map(seals)), values: Object.fromEntries(values) };
}

/**
 * Writes a transaction's events (R11). The database numbers and chains them and
 * holds the clinic's chain head until commit, so this is always the last
 * statement of a transaction.
 */
export async function writeEvents(
  tx: Tx,
  facts: { clinicId: string; personId: string | null; at: Date; cipher?: ColumnCipher },
  events: readonly NewEvent[],
): Promise<void> {
  if (events.length === 0) return;
  const rows = events.map((event) => {
    const id = uuidv7();
    const { data, values } = sealed(event);
    const leaf = {
      at: facts.at.toISOString(),
      clinicId: facts.clinicId,
      data,
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
      data,
      sealed: values && encrypted(facts, id, values),
      leaf_sha256: textSha256(leafText(leaf)),
    };
  });
  await tx.$executeRaw`
    insert into event (clinic_id, seq, id, at, person_id, kind, subject_kind, subject_id, order_id, data, sealed, leaf_sha256, chain_sha256)
    select ${facts.clinicId}::uuid, 0, r.id, r.at, r.person_id, r.kind, r.subject_kind, r.subject_id, r.order_id, r.data, r.sealed, r.leaf_sha256, ''
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r(
      id uuid, at timestamptz, person_id uuid, kind text, subject_kind text, subject_id uuid, order_id uuid, data jsonb, sealed jsonb, leaf_sha256 text)`;
}

function encrypted(
  { clinicId, cipher }: { clinicId: string; cipher?: ColumnCipher },
  eventId: string,
  values: Readonly<Record<string, SealedValue>>,
): Readonly<Record<string, string>> {
  if (cipher === undefined) throw new TypeError('an event with something to seal needs the cipher');
  return encryptSealed(cipher, { clinicId, eventId }, values);
}
