import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';

/** The side in large type, with a black bar at that side: read wrongly by nobody. */
export const SideMark = ({ side }: { readonly side: Schemas['Order']['side'] }) => (
  <strong class={`side ${side}`}>{words.value.sides[side]}</strong>
);
