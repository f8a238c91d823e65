/** The stages of an order as a line with a mark for each: where it was, is, and has still to go. */
import { words } from '../words/words.ts';

export const RAIL = ['casting', 'check_fitting', 'lamination', 'delivery', 'delivered'] as const;

export function Rail({ stage }: { stage: string }) {
  const { stages } = words.value;
  const now = RAIL.findIndex((each) => each === stage);
  if (now < 0) return <p>{stages[stage as keyof typeof stages]}</p>;
  return (
    <ol class="rail">
      {RAIL.map((each, at) => (
        <li
          key={each}
          class={at < now ? 'past' : at === now ? 'now' : ''}
          aria-current={at === now ? 'step' : undefined}
        >
          {stages[each]}
        </li>
      ))}
    </ol>
  );
}
