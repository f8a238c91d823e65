/**
 * An answer as a JSON file that stands for itself: what was asked, when and by whom, and
 * the SHA-256 of the answer's RFC 8785 canonical JSON, so that a file that was changed
 * gives itself away.
 */
import type { z } from 'zod';
import type { ClinicSettings } from '../../store/clinic.ts';
import { contentSha256, type Json } from '../../store/events.ts';

/** Goes up when the shape of these files changes. */
const FILE_VERSION = 1;

export interface Exported<Schema extends z.ZodType> {
  readonly kind: 'trace' | 'recall' | 'history';
  readonly clinic: Pick<ClinicSettings, 'name' | 'timeZone'>;
  readonly at: Date;
  readonly askedBy: string;
  /** The schema of the answer on the wire: the last filter of what leaves. */
  readonly schema: Schema;
  readonly answer: z.input<Schema>;
}

export function jsonFile<Schema extends z.ZodType>(exported: Exported<Schema>): string {
  const { kind, clinic, at, askedBy, schema } = exported;
  const answer = JSON.parse(JSON.stringify(schema.parse(exported.answer))) as Json;
  return `${JSON.stringify(
    {
      castbook: kind,
      fileVersion: FILE_VERSION,
      clinic: clinic.name,
      timeZone: clinic.timeZone,
      madeAt: at.toISOString(),
      askedBy,
      answerSha256: contentSha256(answer),
      answer,
    },
    null,
    2,
  )}\n`;
}
