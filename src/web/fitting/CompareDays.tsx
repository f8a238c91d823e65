/** Any two days on which the limb was measured: drawn over each other, in figures, height by height. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { SelectField } from '../parts/selectField.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { signed } from '../words/figures.ts';
import { dayWords, words } from '../words/words.ts';
import { ChangeFacts } from './LimbChange.tsx';
import { LimbDrawing, tableOf } from './LimbDrawing.tsx';

type Measured = Schemas['MeasureSet'];

/** @param sets of this limb at this level, the oldest first; two at least */
export function CompareDays({
  sets,
  limb,
}: {
  readonly sets: readonly Measured[];
  readonly limb: string;
}) {
  const { fitting: say } = words.value;
  const [firstId, setFirstId] = useState(sets.at(-2)?.id ?? '');
  const [secondId, setSecondId] = useState(sets.at(-1)?.id ?? '');
  const first = sets.find(({ id }) => id === firstId);
  const second = sets.find(({ id }) => id === secondId);
  const { data, error } = useQuery({
    queryKey: ['comparison', firstId, secondId],
    enabled: firstId !== secondId,
    queryFn: () =>
      answered(
        api.GET('/api/v1/measure-sets/comparison', {
          params: { query: { first: firstId, second: secondId } },
        }),
      ),
  });
  const choices = sets.map((set) => [set.id, labelOf(set)] as const);
  return (
    <details class="compare">
      <summary>{say.compareTitle}</summary>
      <div class="line-fields">
        <SelectField label={say.oneDay} of={choices} value={firstId} onChoose={setFirstId} />
        <SelectField label={say.otherDay} of={choices} value={secondId} onChoose={setSecondId} />
      </div>
      {firstId === secondId ? (
        <p class="hint">{say.sameDayTwice}</p>
      ) : (
        <>
          <WentWrong failure={error} />
          {data !== undefined && (
            <>
              <ChangeFacts change={data} />
              {data.asks !== null && <p class="caution">{say.pastLimit(data.limitPercent)}</p>}
            </>
          )}
          {first !== undefined && second !== undefined && (
            <Both first={first} second={second} limb={limb} />
          )}
        </>
      )}
    </details>
  );
}

const labelOf = ({ occasion, takenOn, orderNumber }: Measured): string =>
  `${words.value.fitting.tableOf(words.value.fitting.occasions[occasion], dayWords(takenOn))} · ${orderNumber}`;

function Both({ first, second, limb }: { first: Measured; second: Measured; limb: string }) {
  const { fitting: say } = words.value;
  const table = (set: Measured) =>
    tableOf(
      say.tableOf(say.occasions[set.occasion], dayWords(set.takenOn)),
      set.measures,
      set.geometry.capDepthMm,
    );
  const [before, after] = first.takenOn <= second.takenOn ? [first, second] : [second, first];
  const drawn = table(after);
  const heights = new Map(before.measures.map((each) => [each.heightMm, each.circumferenceMm]));
  return (
    <div class="beside">
      {drawn !== null && <LimbDrawing limb={limb} table={drawn} over={table(before)} />}
      <table class="stacked pairs">
        <thead>
          <tr>
            <th>{say.height}</th>
            <th>{dayWords(before.takenOn)}</th>
            <th>{dayWords(after.takenOn)}</th>
            <th>{say.changeAround}</th>
          </tr>
        </thead>
        <tbody>
          {after.measures.map(({ heightMm, circumferenceMm }) => {
            const then = heights.get(heightMm);
            return (
              <tr key={heightMm}>
                <td class="measure" data-label={say.height}>
                  {heightMm} mm
                </td>
                <td class="measure" data-label={dayWords(before.takenOn)}>
                  {then === undefined ? '–' : `${then} mm`}
                </td>
                <td class="measure" data-label={dayWords(after.takenOn)}>
                  {circumferenceMm} mm
                </td>
                <td class="measure" data-label={say.changeAround}>
                  {then === undefined ? '–' : `${signed(circumferenceMm - then, 0)} mm`}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
