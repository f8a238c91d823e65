import { reason } from '../domain/reasons/index.ts';
import type { Json } from './events.ts';
import { Refused } from './refused.ts';

/**
 * After a conditional write that changed nothing: somebody else changed the
 * record since it was read.
 * @param current the version it has now
 */
export function refuseStale(yours: number, current: number): never {
  throw new Refused([reason('version-is-stale', { yours, current })]);
}

type Given<Change> = { [Key in keyof Change]?: Exclude<Change[Key], undefined> };

/** What a change really changes: fields left out, and fields that are so already, are not in it. */
export interface Changes<Change> {
  readonly any: boolean;
  readonly set: Given<Change>;
  /** For the event (R11): the values before and after. */
  readonly event: { readonly before: Json; readonly after: Json };
}

export function changesOf<Change extends Readonly<Record<string, Json | undefined>>>(
  before: { readonly [Key in keyof Change]-?: Exclude<Change[Key], undefined> },
  change: Change,
): Changes<Change> {
  const set: Given<Change> = {};
  const was: Record<string, Json> = {};
  const becomes: Record<string, Json> = {};
  for (const key of Object.keys(change) as (keyof Change & string)[]) {
    const value = change[key];
    if (value === undefined || value === before[key]) continue;
    // `value` is not undefined here; TypeScript does not narrow an indexed generic.
    set[key] = value as Exclude<Change[typeof key], undefined>;
    was[key] = before[key];
    becomes[key] = value;
  }
  return { any: Object.keys(becomes).length > 0, set, event: { before: was, after: becomes } };
}
