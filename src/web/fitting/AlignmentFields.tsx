/** The six figures of an alignment, drawn from the front and the side as soon as all are there. */
import { alignmentFigure } from '../../documents/figures/alignment.ts';
import type { Schemas } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { FigureDrawing } from '../parts/figure.tsx';
import { Wide } from '../parts/wide.tsx';
import { words } from '../words/words.ts';
import { alignmentOf, COMPONENTS, isWhole, unitOf, type AlignmentTyped } from './alignmentTyped.ts';

export function AlignmentFields({
  typed,
  against,
  at,
  socket,
  record,
  onType,
}: {
  readonly typed: AlignmentTyped;
  readonly against: (pointer: string) => string | undefined;
  /** Where the alignment stands in what is sent: '' or '/alignment'. */
  readonly at: '' | '/alignment';
  readonly socket: Schemas['Socket'];
  /** With tolerance and the accepted one; undefined until it is read. */
  readonly record: Schemas['Alignments'] | undefined;
  readonly onType: (typed: AlignmentTyped) => void;
}) {
  const { fitting: say } = words.value;
  const values = alignmentOf(typed);
  const accepted = record?.accepted ?? null;
  return (
    <div>
      <div class="line-fields">
        {COMPONENTS.map((each) => (
          <TextField
            key={each}
            label={`${say.components[each]}, ${unitOf(each)}`}
            hint={say.componentHints[each]}
            inputMode="text"
            autocomplete="off"
            value={typed[each]}
            against={against(`${at}/${each}`)}
            onInput={({ currentTarget }) => onType({ ...typed, [each]: currentTarget.value })}
          />
        ))}
      </div>
      <div>
        {isWhole(values) && record !== undefined ? (
          <Wide words={say.alignmentOf(socket.number)}>
            <FigureDrawing
              figure={alignmentFigure({
                socket: socket.number,
                side: socket.order.side,
                tolerance: record.tolerance,
                accepted:
                  accepted === null
                    ? null
                    : { label: accepted.socketNumber, values: accepted.alignment },
                measured: { label: say.asTyped, values },
                note: null,
              })}
            />
          </Wide>
        ) : (
          <p class="hint">{say.alignmentNotDrawn}</p>
        )}
      </div>
    </div>
  );
}
