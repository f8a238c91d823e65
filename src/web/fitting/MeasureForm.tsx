/** A cast with its measures, or measures alone at a later visit: typed, drawn and sent. */
import { useState } from 'preact/hooks';
import type { LengthUnit } from '../../domain/units.ts';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once, useReadAgain } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Help } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { units } from '../words/units.ts';
import { dayWords, words } from '../words/words.ts';
import { EMPTY, inUnit, typed } from './lengths.ts';
import { LimbDrawing, tableOf } from './LimbDrawing.tsx';
import { judgeTable, refusedRows, rowsAt, rowsIn } from './measureRows.ts';
import { MeasureTable } from './MeasureTable.tsx';

type Order = Schemas['Order'];
type Method = Schemas['CastToTakeInput']['method'];
type Recorded = 'cast' | Schemas['MeasureSetToTakeInput']['occasion'];

const UNIT_WORDS = { mm: 'mm', cm: 'cm', in: 'in' } as const satisfies Record<LengthUnit, string>;
const MAY_BE_CAST: readonly Order['stage'][] = ['casting', 'check_fitting'];

/** The occasion that an order's stage makes likely. */
const likely = (stage: Order['stage']): Recorded =>
  stage === 'casting'
    ? 'cast'
    : stage === 'delivered'
      ? 'follow_up'
      : stage === 'delivery'
        ? 'delivery'
        : 'fitting';

export function MeasureForm({
  order,
  earlier,
  today,
  onDone,
}: {
  readonly order: Order;
  /** The newest table of this limb; undefined where there is none. */
  readonly earlier: Schemas['MeasureSet'] | undefined;
  readonly today: string;
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say, help, sides, levels } = words.value;
  const readAgain = useReadAgain();
  const heights = (earlier?.measures ?? []).map(({ heightMm }) => heightMm);
  const [recorded, setRecorded] = useState<Recorded>(likely(order.stage));
  const [method, setMethod] = useState<Method>();
  const [takenOn, setTakenOn] = useState(today);
  const [unit, setUnit] = useState<LengthUnit>(units.value.length);
  const [length, setLength] = useState(EMPTY);
  const [cap, setCap] = useState(EMPTY);
  const [note, setNote] = useState('');
  const [rows, setRows] = useState(() => rowsAt(heights, units.value.length));
  const [withSocket, setWithSocket] = useState(true);
  const onTrial = order.sockets.findLast(
    ({ kind, state }) => kind === 'check' && state === 'in_work',
  );
  const judged = judgeTable(order.level, length.mm, cap.mm, rows, say.noNumber);
  const turnTo = (other: LengthUnit): void => {
    setUnit(other);
    setLength(inUnit(length, other));
    setCap(inUnit(cap, other));
    setRows(rowsIn(rows, other));
  };
  const send = async (key: string): Promise<void> => {
    const common = {
      takenOn,
      // What is not typed is sent as nothing: the service says what is missing.
      limbLengthMm: length.mm ?? NaN,
      ...(cap.mm === null ? {} : { capDepthMm: cap.mm }),
      ...(note.trim() === '' ? {} : { note }),
      measures: [...judged.measures],
    };
    const params = { path: { orderId: order.id }, header: once(key) };
    if (recorded === 'cast') {
      const body = { ...common, method: asChosen(method) };
      const cast = await answered(api.POST('/api/v1/orders/{orderId}/casts', { params, body }));
      onDone(say.castTaken(cast.number));
    } else {
      const body = {
        ...common,
        occasion: recorded,
        ...(recorded === 'fitting' && withSocket && onTrial !== undefined
          ? { socketId: onTrial.id }
          : {}),
      };
      await answered(api.POST('/api/v1/orders/{orderId}/measure-sets', { params, body }));
      onDone(say.measuresTaken);
    }
    setRows(rowsAt(heights.length > 0 ? heights : judged.measures.map((m) => m.heightMm), unit));
    setLength(EMPTY);
    setCap(EMPTY);
    setNote('');
    await readAgain();
  };
  const { cast, ...atVisits } = say.occasions;
  // Later than check fitting no cast is taken without another act before it.
  const offered = (
    MAY_BE_CAST.includes(order.stage) ? { cast, ...atVisits } : atVisits
  ) as Readonly<Record<Recorded, string>>;
  const over =
    earlier === undefined
      ? null
      : tableOf(
          say.tableOf(say.occasions[earlier.occasion], dayWords(earlier.takenOn)),
          earlier.measures,
          earlier.geometry.capDepthMm,
        );
  return (
    <ActForm act={recorded === 'cast' ? say.takeCast : say.takeMeasures} send={send}>
      {({ against }) => {
        const inRows = new Map([...judged.against, ...refusedRows(rows, against)]);
        return (
          <>
            <Choices
              label={say.whatIsRecorded}
              name="recorded"
              of={offered}
              value={recorded}
              onChoose={setRecorded}
            />
            {recorded === 'cast' && (
              <Choices
                label={say.method}
                name="method"
                of={say.methods}
                value={method}
                against={against('/method')}
                onChoose={setMethod}
              />
            )}
            {recorded === 'fitting' && onTrial !== undefined && (
              <label class="tick">
                <input
                  type="checkbox"
                  checked={withSocket}
                  onChange={({ currentTarget }) => setWithSocket(currentTarget.checked)}
                />
                {say.onTrial(onTrial.number)}
              </label>
            )}
            <Choices
              label={say.unit}
              hint={say.unitHint}
              name="unit"
              of={UNIT_WORDS}
              value={unit}
              onChoose={turnTo}
            />
            <div class="beside">
              <div>
                <TextField
                  label={say.takenOn}
                  type="date"
                  value={takenOn}
                  against={against('/takenOn')}
                  onInput={({ currentTarget }) => setTakenOn(currentTarget.value)}
                />
                <TextField
                  label={`${say.length}, ${unit}`}
                  hint={say.lengthHint}
                  inputMode="decimal"
                  value={length.text}
                  against={against('/limbLengthMm') ?? judged.againstLength}
                  onInput={({ currentTarget }) => setLength(typed(currentTarget.value, unit))}
                />
                <TextField
                  label={`${say.cap}, ${unit}`}
                  hint={say.capHint}
                  inputMode="decimal"
                  value={cap.text}
                  against={against('/capDepthMm')}
                  onInput={({ currentTarget }) => setCap(typed(currentTarget.value, unit))}
                />
                <Help of={say.cap}>{help.cap}</Help>
                <MeasureTable rows={rows} unit={unit} against={inRows} onChange={setRows} />
                {against('/measures') !== undefined && (
                  <p class="stands-against">{against('/measures')}</p>
                )}
              </div>
              <div class="stays">
                {judged.geometry === undefined ? (
                  <p class="hint">{say.notDrawnYet}</p>
                ) : (
                  <LimbDrawing
                    limb={`${sides[order.side]} ${levels[order.level]}, ${order.number}`}
                    table={{
                      label: say.asTyped,
                      measures: judged.measures,
                      geometry: judged.geometry,
                    }}
                    over={over}
                  />
                )}
              </div>
            </div>
            <NoteField label={say.note} value={note} against={against('/note')} onType={setNote} />
          </>
        );
      }}
    </ActForm>
  );
}
