/** The screws of a joint as they are seen from below, as in its drawing: done, to do now, still to come. */
import { lateralIsOnTheRight, screwPlaces } from '../../domain/fasteners.ts';
import { words } from '../words/words.ts';
import type { Socket } from './record.ts';

const RING = 70;
/** Read at arm's length; smaller only where many screws would touch one another. */
const screwRadius = (count: number): number =>
  count < 4 ? 30 : Math.min(30, 0.9 * RING * Math.sin(Math.PI / count));

export function ScrewRing({
  count,
  side,
  done,
  next,
}: {
  readonly count: number;
  readonly side: Socket['order']['side'];
  /** Those read in this pass. */
  readonly done: ReadonlySet<number>;
  readonly next: number | null;
}) {
  const { bench: say } = words.value;
  const lateralX = lateralIsOnTheRight(side) ? 108 : -108;
  const radius = screwRadius(count);
  return (
    <svg
      class="ring"
      viewBox="-150 -126 300 236"
      role="img"
      aria-label={next === null ? say.ringDone : say.ringNext(next, count)}
    >
      <text x="0" y="-110" text-anchor="middle">
        {say.front}
      </text>
      <text x={lateralX} y="5" text-anchor="middle">
        {say.lateral}
      </text>
      {screwPlaces(count).map(({ x, y }, at) => {
        const number = at + 1;
        const state = number === next ? 'now' : done.has(number) ? 'past' : 'to-come';
        return (
          <g key={number} class={`screw ${state}`}>
            <circle cx={x * RING} cy={y * RING} r={radius} />
            <text x={x * RING} y={y * RING + radius * 0.38} text-anchor="middle">
              {number}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
