/**
 * The clinic's label stock: how large the labels are that sockets, models and bins get. A
 * label is as large as it must be for its code to be read through dust by a phone held in a
 * glove, and its number by the eye (common practice, no source).
 */
import { reason, type Reason } from './reasons/index.ts';

/** What gets a label. */
export const LABEL_KINDS = ['socket', 'model', 'bin'] as const;
export type LabelKind = (typeof LABEL_KINDS)[number];

export interface LabelSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface LabelSizes extends Readonly<Record<LabelKind, LabelSize>> {
  /** Left free all around, because no printer feeds a label to the tenth of a millimetre. */
  readonly marginMm: number;
}

/** Until a clinic measures its own stock (common practice, no source). */
export const STARTING_LABEL_SIZES: LabelSizes = {
  socket: { widthMm: 57, heightMm: 32 },
  model: { widthMm: 76, heightMm: 51 },
  bin: { widthMm: 102, heightMm: 51 },
  marginMm: 2,
};

/**
 * Least room inside the margins: a code of 20 mm (its modules then are no finer than 0.35 mm
 * with a web address of 60 characters) beside a number in 8 pt type.
 */
export const LEAST_ROOM = { widthMm: 44, heightMm: 20 } as const;
/** No label is larger than a sheet of A4. */
export const GREATEST_LABEL = { widthMm: 297, heightMm: 297 } as const;
const GREATEST_MARGIN_MM = 10;

/** Everything against sizes that an administrator enters: 'label-size-impossible' for each, by its field. */
export function judgeLabelSizes(sizes: LabelSizes): Reason[] {
  const { marginMm } = sizes;
  const against = (field: string, value: number, least: number, greatest: number): Reason[] =>
    value >= least && value <= greatest
      ? []
      : [reason('label-size-impossible', { value, least, greatest }, field)];
  return [
    ...against('/marginMm', marginMm, 0, GREATEST_MARGIN_MM),
    ...LABEL_KINDS.flatMap((kind) =>
      (['widthMm', 'heightMm'] as const).flatMap((side) =>
        against(
          `/${kind}/${side}`,
          sizes[kind][side],
          LEAST_ROOM[side] + 2 * Math.max(0, marginMm),
          GREATEST_LABEL[side],
        ),
      ),
    ),
  ];
}
