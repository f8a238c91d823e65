import type { Prisma } from '../generated/prisma/client.ts';

/**
 * The one handle on the database that services see: a transaction with the
 * clinic's scope set. Never the client itself, which would leave the scope and,
 * on the embedded database's single connection, wait for ever.
 */
export type Tx = Prisma.TransactionClient;
