import type { Prisma } from '../generated/prisma/client.ts';
import type { Json } from './events.ts';

/** A value of the domain as a JSON column takes it: what JSON can say of it, and nothing else. */
export const asJson = (value: object): Prisma.InputJsonValue =>
  JSON.parse(JSON.stringify(value)) as Prisma.InputJsonValue;

/** The same as an event or a signature takes it. */
export const plainJson = (value: object): Json => JSON.parse(JSON.stringify(value)) as Json;
