/** The stages of an order as a line with a mark for each: where it was, is, and has still to go. */
import type { ComponentChildren } from 'preact';
import { words } from '../words/words.ts';

export const RAIL = ['casting', 'check_fitting', 'lamination', 'delivery', 'delivered'] as const;

export function Rail({
  stage,
  under,
}: {
  stage: string;
  /** What stands under the stages it came to: their dates. */
  under?: (stage: string) => ComponentChildren;
}) {
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
          {at <= now && under !== undefined && <div class="under">{under(each)}</div>}
        </li>
      ))}
    </ol>
  );
}
