/** The one turn of the tool to make now: which screw, which pass, what to aim for, and what it read. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { TIGHTENING_PASSES } from '../../domain/fasteners.ts';
import type { TorqueReading } from '../../domain/torque.ts';
import type { TorqueBand } from '../../domain/torqueTools.ts';
import { TORQUE_UNIT_SYMBOLS } from '../../domain/torqueUnits.ts';
import type { TorqueUnit } from '../../domain/words.ts';
import { TextField } from '../parts/fields.tsx';
import { Help } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { figureTyped, inFigures } from './figures.ts';
import { bandWords, LAST_PASS, readingAt, standing, torqueWords, type Turn } from './readings.ts';
import type { Joint, Socket } from './record.ts';
import { ScrewRing } from './ScrewRing.tsx';

export function NextTurn({
  turn,
  socket,
  setting,
  band,
  unit,
  readings,
  onRead,
}: {
  readonly turn: Turn;
  readonly socket: Socket;
  readonly setting: NonNullable<Joint['setting']>;
  readonly band: TorqueBand;
  readonly unit: TorqueUnit;
  readonly readings: readonly TorqueReading[];
  readonly onRead: (value: number) => void;
}) {
  const { bench: say, help } = words.value;
  const before = readingAt(readings, turn);
  const [typed, setTyped] = useState(before === undefined ? '' : inFigures(before.value, 4));
  const form = useRef<HTMLFormElement>(null);
  // The next figure is typed at once; the first not, so that the page begins at its head.
  useEffect(() => {
    if (readings.length > 0) form.current?.querySelector('input')?.focus();
  }, []);
  const value = figureTyped(typed);
  const whole = value !== undefined && value > 0;
  const stands = whole ? standing({ value, unit, pass: turn.pass }, band) : 'fits';
  const pass = TIGHTENING_PASSES.find((each) => each.pass === turn.pass);
  const doneNow = new Set(
    readings.filter((each) => each.pass === turn.pass).map(({ fastener }) => fastener),
  );
  const aimNm = ((pass?.share ?? 1) * (setting.torqueMinNm + setting.torqueMaxNm)) / 2;
  return (
    <form
      ref={form}
      noValidate
      class="turn"
      onSubmit={(event) => {
        event.preventDefault();
        if (whole) onRead(value);
      }}
    >
      <h2 class="operation">
        {say.screw} {turn.fastener} · {say.pass} {turn.pass} / {LAST_PASS}
      </h2>
      <ScrewRing
        count={setting.fastenerCount}
        side={socket.order.side}
        done={doneNow}
        next={turn.fastener}
      />
      <p class="aim">
        {turn.pass === LAST_PASS ? (
          <>
            {say.within} <strong>{bandWords(band, unit)}</strong>
          </>
        ) : (
          <>
            {say.about} <strong>{torqueWords(aimNm, unit)}</strong>
          </>
        )}
      </p>
      <Help of={turn.pass === LAST_PASS ? say.within : say.pass}>
        {turn.pass === LAST_PASS ? help.guardBand : help.passes}
      </Help>
      <TextField
        label={`${say.reading} (${TORQUE_UNIT_SYMBOLS[unit]})`}
        inputMode="decimal"
        autocomplete="off"
        value={typed}
        against={stands === 'fits' ? undefined : say.outside[stands](bandWords(band, unit))}
        onInput={({ currentTarget }) => setTyped(currentTarget.value)}
      />
      <button class="act" type="submit" disabled={!whole}>
        {stands === 'fits' ? say.readingNext : say.readingKeep}
      </button>
    </form>
  );
}
