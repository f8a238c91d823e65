import { createHash } from 'node:crypto';
import { canonicalJson, type JsonValue } from '../domain/canonical.ts';

/**
 * First 12 hex digits of the SHA-256 over the record's canonical JSON:
 * enough to compare two sheets by eye. The record must be what JSON can hold.
 */
export const fingerprint = (record: object): string =>
  createHash('sha256')
    .update(canonicalJson(record as JsonValue), 'utf8')
    .digest('hex')
    .slice(0, 12);
