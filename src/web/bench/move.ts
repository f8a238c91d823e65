/** One thing from one place to another, as the bench does it. */
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';

export type Move = Schemas['RecordMoveInput'];

export const recordMove = (move: Move, key: string) =>
  answered(api.POST('/api/v1/moves', { params: { header: once(key) }, body: move }));
