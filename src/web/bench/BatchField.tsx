/** Which batch: those of its kind that may be used today, a few as big choices, many in a list. */
import { Choices } from '../parts/fields.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { inFigures } from './figures.ts';
import { useBatches, type BatchKind } from './record.ts';
import { SelectField } from '../parts/selectField.tsx';
import { ScanFor } from './scan/ScanFor.tsx';

/** More than this many do not fit beside one another on a phone. */
const IN_SIGHT_MOST = 4;

export function BatchField({
  label,
  kind,
  ofProductId,
  value,
  against,
  onChoose,
}: {
  readonly label: string;
  readonly kind: BatchKind;
  /** Only batches of this resin product, and those of none. */
  readonly ofProductId?: string;
  /** Empty until it is chosen. */
  readonly value: string;
  readonly against?: string | undefined;
  readonly onChoose: (batchId: string) => void;
}) {
  const { bench: say } = words.value;
  const { data, error, refetch } = useBatches(kind);
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  const batches = (data?.items ?? []).filter(
    ({ resinProductId }) =>
      ofProductId === undefined || resinProductId === null || resinProductId === ofProductId,
  );
  const of = batches.map(
    ({ id, lot, name, left, unit }) =>
      [id, `${lot} · ${name} · ${say.left(inFigures(left, 1), say.units[unit])}`] as const,
  );
  const hint = data !== undefined && of.length === 0 ? say.noBatch : undefined;
  const field = { label, value, against, onChoose, ...(hint === undefined ? {} : { hint }) };
  return (
    <>
      {of.length <= IN_SIGHT_MOST ? (
        <Choices {...field} name={`${kind}-${label}`} of={Object.fromEntries(of)} />
      ) : (
        <SelectField {...field} of={[['', say.choose], ...of]} />
      )}
      {of.length > 0 && (
        <ScanFor
          what={label}
          among={batches.map(({ id, lot }) => ({ id, codes: [lot] }))}
          onFound={onChoose}
        />
      )}
    </>
  );
}
