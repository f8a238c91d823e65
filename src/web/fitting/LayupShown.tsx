/** Layers in words, the cut list, and the figures with how each is reckoned. */
import type { LayupFigures } from '../../domain/layup.ts';
import type { Schemas } from '../api.ts';
import { Help } from '../parts/help.tsx';
import { Facts } from '../parts/sheet.tsx';
import { smallWords } from '../words/units.ts';
import { inFigures } from '../words/figures.ts';
import { words } from '../words/words.ts';

type Worked = Pick<Schemas['Layup'], 'inWords' | 'figures' | 'formulas' | 'basis'>;

export function LayupShown({ layup }: { layup: Worked }) {
  const { fitting: say, help } = words.value;
  const { inWords, figures, basis } = layup;
  return (
    <>
      <h3>{say.layers}</h3>
      <ol>
        {inWords.map((line, at) => (
          <li key={at}>{line}</li>
        ))}
      </ol>
      <CutList cuts={figures.cutList} />
      <h3>{say.expected}</h3>
      <Facts of={figureLines(figures)} />
      <Help of={say.wall}>{help.wall}</Help>
      <Help of={say.fibreShare}>{help.fibreShare}</Help>
      <p class="hint">{say.basisWords(basis.fibreMassFraction, basis.resin.name)}</p>
      <details>
        <summary>{say.howReckoned}</summary>
        <Formulas of={layup.formulas} />
      </details>
    </>
  );
}

/** The figures of a layup as they are read. */
export function figureLines(
  figures: Omit<LayupFigures, 'cutList' | 'section'>,
): (readonly [string, string])[] {
  const { fitting: say } = words.value;
  return [
    [say.wall, smallWords(figures.wallThicknessMm, 2)],
    [say.strip, smallWords(figures.stripThicknessMm, 2)],
    [say.end, smallWords(figures.distalEndThicknessMm, 2)],
    [say.fabricMass, `${inFigures(figures.fabricMassG, 0)} g`],
    [say.shellMass, `${inFigures(figures.shellMassG, 0)} g`],
    [say.fibreShare, `${inFigures(100 * figures.fibreVolumeFraction, 0)} %`],
  ];
}

function CutList({ cuts }: { cuts: Worked['figures']['cutList'] }) {
  const { fitting: say } = words.value;
  return (
    <>
      <h3>{say.cutList}</h3>
      <table class="stacked pairs">
        <thead>
          <tr>
            <th>{say.piece}</th>
            <th>{say.runs}</th>
            <th>{say.count}</th>
            <th>{say.width}</th>
            <th>{say.cutLength}</th>
            <th>{say.mass}</th>
          </tr>
        </thead>
        <tbody>
          {cuts.map((cut, at) => (
            <tr key={at}>
              <td class="long" data-label={say.piece}>
                {cut.what}
              </td>
              <td class="long" data-label={say.runs}>
                {say.directions[cut.direction]}
                {cut.reflected && `, ${say.reflected}`}
              </td>
              <td class="measure" data-label={say.count}>
                {cut.count} ×
              </td>
              <td data-label={say.width}>
                {smallWords(cut.widthMm, 0)}
                {cut.form === 'tube' && ` ${say.laidFlat}`}
              </td>
              <td class="measure" data-label={say.cutLength}>
                {smallWords(cut.lengthMm, 0)}
              </td>
              <td class="measure" data-label={say.mass}>
                {inFigures(cut.massG, 0)} g
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

function Formulas({ of }: { of: Worked['formulas'] }) {
  const { fitting: say } = words.value;
  return (
    <dl>
      {(Object.keys(of) as (keyof typeof of)[]).map((name) => (
        <div key={name}>
          <dt>{say.formulaOf[name]}</dt>
          <dd>
            {of[name].formula} ({of[name].units}). {of[name].source}
          </dd>
        </div>
      ))}
    </dl>
  );
}
