/** The readings so far, a line a screw in the order of tightening; a reading is touched to take it again. */
import { TIGHTENING_PASSES } from '../../domain/fasteners.ts';
import type { TorqueReading } from '../../domain/torque.ts';
import type { TorqueBand } from '../../domain/torqueTools.ts';
import { toNewtonMetres } from '../../domain/torqueUnits.ts';
import type { TorqueUnit } from '../../domain/words.ts';
import { words } from '../words/words.ts';
import { readingAt, standing, torqueWords, type Turn } from './readings.ts';

export function ReadingsTable({
  order,
  readings,
  band,
  unit,
  onAgain,
}: {
  readonly order: readonly number[];
  readonly readings: readonly TorqueReading[];
  readonly band: TorqueBand | undefined;
  readonly unit: TorqueUnit;
  readonly onAgain: (turn: Turn) => void;
}) {
  const { bench: say } = words.value;
  return (
    <table class="readings">
      <thead>
        <tr>
          <th>{say.screw}</th>
          {TIGHTENING_PASSES.map(({ pass, name }) => (
            <th key={pass}>
              {pass} {say.passNames[name]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {order.map((fastener) => (
          <tr key={fastener}>
            <th scope="row">{fastener}</th>
            {TIGHTENING_PASSES.map(({ pass }) => {
              const reading = readingAt(readings, { pass, fastener });
              if (reading === undefined) return <td key={pass}>·</td>;
              const fits = band === undefined || standing(reading, band) === 'fits';
              const text = torqueWords(toNewtonMetres(reading.value, reading.unit), unit);
              return (
                <td key={pass}>
                  <button
                    type="button"
                    class={fits ? '' : 'against'}
                    aria-label={`${say.readAgain}: ${say.screw} ${String(fastener)}, ${say.pass} ${String(pass)}, ${text}`}
                    onClick={() => onAgain({ pass, fastener })}
                  >
                    {text}
                    {!fits && ` ${say.out}`}
                  </button>
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
