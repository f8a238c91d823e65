/** How far a mix is off its ratio, drawn against the band that the product allows. */
import { words } from '../words/words.ts';
import { inFigures, signed } from './figures.ts';

const WIDTH = 300;
/** The drawing reaches so many tolerances to either side. */
const REACH = 3;

export function RatioGauge({
  offPercent,
  tolerancePercent,
}: {
  readonly offPercent: number;
  readonly tolerancePercent: number;
}) {
  const { bench: say } = words.value;
  const at = (percent: number): number =>
    WIDTH / 2 + (Math.max(-1, Math.min(1, percent / (REACH * tolerancePercent))) * WIDTH) / 2;
  const inBand = Math.abs(offPercent) <= tolerancePercent + 1e-9;
  return (
    <div class={inBand ? 'gauge' : 'gauge against'}>
      <p>
        <strong>
          {say.hardenerOff} {signed(offPercent)} %
        </strong>{' '}
        {inBand ? say.inTolerance : say.outOfTolerance} (± {inFigures(tolerancePercent)} %)
      </p>
      <svg viewBox={`-8 0 ${String(WIDTH + 16)} 26`} aria-hidden="true">
        <line x1="0" y1="20" x2={WIDTH} y2="20" class="gauge-line" />
        <rect
          x={at(-tolerancePercent)}
          y="14"
          width={at(tolerancePercent) - at(-tolerancePercent)}
          height="12"
          class="gauge-band"
        />
        <path d={`M ${String(at(offPercent))} 14 l -8 -13 h 16 z`} class="gauge-mark" />
      </svg>
    </div>
  );
}
