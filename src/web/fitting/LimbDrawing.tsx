/** The limb drawn from its table as it stands, with its volume; an earlier table dashed over it. */
import {
  limbProfileFigure,
  PROFILE_ON_PAGE,
  type DrawnLimb,
} from '../../documents/figures/limbProfile.ts';
import { limbGeometry, type LimbGeometry } from '../../domain/limbGeometry.ts';
import type { LimbMeasure } from '../../domain/measures.ts';
import { FigureDrawing } from '../parts/figure.tsx';
import { Facts } from '../parts/sheet.tsx';
import { useNarrow } from '../parts/useNarrow.ts';
import { lengthWords } from '../words/units.ts';
import { inFigures } from '../words/figures.ts';
import { words } from '../words/words.ts';

interface Table {
  readonly label: string;
  readonly measures: readonly LimbMeasure[];
  readonly geometry: LimbGeometry;
}

export function LimbDrawing({
  limb,
  table,
  over,
}: {
  readonly limb: string;
  readonly table: Table;
  readonly over: Table | null;
}) {
  const { fitting: say } = words.value;
  const { geometry } = table;
  // On the phone the same points are more of the width: the figures stay readable.
  const room = useNarrow() ? { ...PROFILE_ON_PAGE, widthPt: 290 } : PROFILE_ON_PAGE;
  const record = { limb, drawn: drawn(table), over: over === null ? null : drawn(over) };
  return (
    <figure class="drawn">
      <FigureDrawing figure={limbProfileFigure(record, room)} />
      <figcaption aria-live="polite">
        <Facts
          of={[
            [say.volume, `${inFigures(geometry.volumeMl, 0)} mL`],
            [
              say.capDepth,
              `${lengthWords(geometry.cap.depthMm)}, ${say.capSources[geometry.cap.source]}`,
            ],
            [say.greatest, lengthWords(geometry.greatestCircumferenceMm)],
          ]}
        />
      </figcaption>
    </figure>
  );
}

const drawn = ({ label, measures, geometry }: Table): DrawnLimb => ({
  label,
  measures,
  cap: geometry.cap,
  profile: geometry.profile,
});

/** A table on record, to be drawn; null where it makes no solid. */
export function tableOf(
  label: string,
  measures: readonly LimbMeasure[],
  capDepthMm: number | null,
): Table | null {
  const verdict = limbGeometry(measures, capDepthMm);
  return verdict.ok ? { label, measures, geometry: verdict.value } : null;
}
