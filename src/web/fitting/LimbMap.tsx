/**
 * Areas of the limb to mark: by the list, which the keyboard and those who hear the page
 * use, or by touching the drawn limb beside it. Both are one choice.
 */
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { areasOn, OUTLINE, VIEW, type AreaOnLimb, type LimbArea } from './limbAreas.ts';

type Order = Schemas['Order'];

export function LimbMap({
  side,
  level,
  marked,
  onMark,
}: {
  readonly side: Order['side'];
  readonly level: Order['level'];
  readonly marked: ReadonlySet<LimbArea>;
  readonly onMark: (area: LimbArea) => void;
}) {
  const { fitting: say } = words.value;
  const areas = areasOn(level);
  const listed: readonly LimbArea[] = [...areas.map(({ area }) => area), 'whole_limb'];
  return (
    <fieldset>
      <legend>{say.where}</legend>
      <div class="beside">
        <div class="choices upright">
          {listed.map((area, index) => (
            <label key={area}>
              <input type="checkbox" checked={marked.has(area)} onChange={() => onMark(area)} />
              {area === 'whole_limb' ? '' : `${index + 1} `}
              {say.areas[area]}
            </label>
          ))}
        </div>
        <svg
          class="limb-map"
          viewBox={`0 0 ${2 * VIEW.width} ${VIEW.height + 24}`}
          aria-hidden="true"
        >
          {(['front', 'back'] as const).map((view, place) => (
            <View
              key={view}
              view={view}
              left={place * VIEW.width}
              side={side}
              areas={areas}
              marked={marked}
              onMark={onMark}
            />
          ))}
        </svg>
      </div>
    </fieldset>
  );
}

function View({
  view,
  left,
  side,
  areas,
  marked,
  onMark,
}: {
  readonly view: AreaOnLimb['view'];
  readonly left: number;
  readonly side: Order['side'];
  readonly areas: readonly AreaOnLimb[];
  readonly marked: ReadonlySet<LimbArea>;
  readonly onMark: (area: LimbArea) => void;
}) {
  const { fitting: say } = words.value;
  // Who faces a left leg has its outer side on the right; from behind it is the other way.
  const outwards = (side === 'left') === (view === 'front') ? 1 : -1;
  const whole = marked.has('whole_limb');
  return (
    <g transform={`translate(${left + VIEW.width / 2} 0)`} text-anchor="middle" font-size="11">
      <text y="11" font-weight="bold">
        {say.views[view]}
      </text>
      <path d={OUTLINE} class={whole ? 'outline marked' : 'outline'} />
      {areas.map(({ area, view: on, x, y, rx, ry }, index) =>
        on === view ? (
          <g
            key={area}
            class={marked.has(area) ? 'area marked' : 'area'}
            onClick={() => onMark(area)}
          >
            <ellipse cx={outwards * x} cy={y} rx={rx} ry={ry} />
            <text x={outwards * x} y={y + 4}>
              {index + 1}
            </text>
          </g>
        ) : null,
      )}
      <text x={outwards * 48} y={VIEW.height + 12}>
        {say.outer}
      </text>
      <text x={outwards * -48} y={VIEW.height + 12}>
        {say.inner}
      </text>
    </g>
  );
}
