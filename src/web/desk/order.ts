import type { Schemas } from '../api.ts';

/** An order as its page tells it. */
export type Order = Schemas['Order'];
