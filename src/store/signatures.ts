/** Statements on signatures. */
import type { SignatureMeaning } from '../domain/words.ts';
import type { Act } from './act.ts';
import type { Json } from './events.ts';

export interface SignatureRow {
  readonly id: string;
  readonly personId: string;
  readonly printedName: string;
  readonly meaning: SignatureMeaning;
  readonly signedAt: Date;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly contentSha256: string;
  /** The sign-in in which it is given; the database takes only the signer's own. */
  readonly sessionId: string | null;
}

/** Who gave the newest signature of that meaning on a record, and when. */
export async function signatureOn(
  act: Act,
  subjectId: string,
  meaning: SignatureMeaning,
): Promise<{ by: string; at: string }> {
  const { printedName, signedAt } = await act.tx.signature.findFirstOrThrow({
    where: { clinicId: act.clinicId, subjectId, meaning },
    orderBy: { id: 'desc' },
    select: { printedName: true, signedAt: true },
  });
  return { by: printedName, at: signedAt.toISOString() };
}

export const writeSignature = (act: Act, row: SignatureRow, content: Json): Promise<number> =>
  act.tx.$executeRaw`
    insert into signature (clinic_id, id, person_id, printed_name, meaning, signed_at, subject_kind, subject_id, content, content_sha256, session_id)
    values (${act.clinicId}::uuid, ${row.id}::uuid, ${row.personId}::uuid, ${row.printedName}, ${row.meaning}, ${row.signedAt},
      ${row.subjectKind}, ${row.subjectId}::uuid, ${JSON.stringify(content)}::jsonb, ${row.contentSha256}, ${row.sessionId}::uuid)`;
