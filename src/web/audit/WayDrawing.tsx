/**
 * The way of one piece: time runs down, each place has a line of its own, and the piece's
 * stroke goes from one to the next. Thick where a patient wears it. Moves stand evenly, for
 * minutes at the bench and months at home have no common scale; each has its time beside it.
 */
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';
import { useNarrow } from '../parts/useNarrow.ts';
import type { StayThere, Way } from './ways.ts';

/** Of a stay; on the phone who moved it stands on a line of its own. */
const ROW = { wide: 78, narrow: 94 };
const DAY_MS = 86_400_000;
const TOP = 16;
const LEFT = 12;

export function WayDrawing({ way }: { way: Way }) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const narrow = useNarrow();
  const [width, room] = narrow ? [340, 84] : [680, 220];
  const { stays } = way;
  const row = narrow ? ROW.narrow : ROW.wide;
  const places = [...new Set(stays.map(({ place }) => place))];
  const gap = Math.min(34, room / Math.max(1, places.length - 1));
  const x = (place: string): number => LEFT + places.indexOf(place) * gap;
  const y = (n: number): number => TOP + n * row;
  const end = y(stays.length);
  const textAt = LEFT + gap * (places.length - 1) + 22;
  const when = ({ from }: StayThere): string => (from === null ? say.before : at(from));
  return (
    <svg
      class="figure"
      viewBox={`0 0 ${width} ${end + 12}`}
      role="img"
      aria-label={`${say.wayOf(way.thing)}: ${stays.map((stay) => `${when(stay)} ${stay.place}`).join('; ')}`}
      font-size={narrow ? 13 : 12}
    >
      {places.map((place) => (
        <path key={place} class="lane" d={`M${x(place)} ${TOP}V${end}`} />
      ))}
      {stays.map((stay, n) => {
        const here = x(stay.place);
        const next = stays[n + 1];
        return (
          <g key={n}>
            <path class={stay.worn ? 'stay worn' : 'stay'} d={`M${here} ${y(n)}V${y(n + 1)}`} />
            {next !== undefined && (
              <path class="stay" d={`M${here} ${y(n + 1)}H${x(next.place)}`} />
            )}
            {next === undefined && stay.until === null && (
              <path
                class="stay"
                d={`M${here - 6} ${end - 8}L${here} ${end}L${here + 6} ${end - 8}`}
              />
            )}
            <circle class="stop" cx={here} cy={y(n)} r="5" />
            <text x={textAt} y={y(n) + 4} font-weight="bold">
              {stay.place}
            </text>
            <text x={textAt} y={y(n) + 20}>
              {when(stay)}
            </text>
            {linesOf(stay, narrow).map((line, at) => (
              <text key={line} x={textAt} y={y(n) + 36 + 16 * at}>
                {line}
              </text>
            ))}
          </g>
        );
      })}
    </svg>
  );
}

/** What is said under the place and the time: for how long, why and by whom, and by whom it is worn. */
function linesOf(
  { from, until, why, who, worn, chartNumber }: StayThere,
  narrow: boolean,
): string[] {
  const { audit: say } = words.value;
  const days =
    from === null || until === null
      ? 0
      : Math.round((Date.parse(until) - Date.parse(from)) / DAY_MS);
  const moved = [why === null ? '' : say.moveReasons[why], days < 1 ? '' : say.days(days)];
  const lines = narrow ? [moved, [who ?? '']] : [[moved[0] ?? '', who ?? '', moved[1] ?? '']];
  return [
    ...lines.map((parts) => parts.filter((part) => part !== '').join(' · ')),
    ...(worn ? [say.wornBy(chartNumber ?? '')] : []),
  ].filter((line) => line !== '');
}
