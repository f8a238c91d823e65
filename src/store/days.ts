import type { Day } from '../domain/days.ts';

/** A calendar day as Prisma reads a `date` column: midnight UTC of that day. */
export const dayOf = (stored: Date): Day => stored.toISOString().slice(0, 10) as Day;

export const dayOrNull = (stored: Date | null): Day | null =>
  stored === null ? null : dayOf(stored);

/** The value that Prisma writes into a `date` column for a calendar day. */
export const asStored = (day: Day): Date => new Date(`${day}T00:00:00.000Z`);
