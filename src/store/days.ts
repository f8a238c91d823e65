import type { Day } from '../domain/days.ts';

/** The value that Prisma writes into a `date` column for a calendar day. */
export const asStored = (day: Day): Date => new Date(`${day}T00:00:00.000Z`);
