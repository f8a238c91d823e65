import type { Prisma } from '../generated/prisma/client.ts';

/** A value of the domain as a JSON column takes it: what JSON can say of it, and nothing else. */
export const asJson = (value: object): Prisma.InputJsonValue =>
  JSON.parse(JSON.stringify(value)) as Prisma.InputJsonValue;
