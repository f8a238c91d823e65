/** An example limb under the rules in force and under those that are being typed, side by side. */
import { useState } from 'preact/hooks';
import type { Fabric } from '../../domain/fabrics.ts';
import type { LayupRules } from '../../domain/layupRules.ts';
import { FUNCTIONAL_LEVELS } from '../../domain/words.ts';
import { figureLines } from '../fitting/LayupShown.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { Field } from './Field.tsx';
import { EXAMPLE_LIMB, exampleOf } from './exampleLimb.ts';
import type { FieldSpec } from './values.ts';

export function ExampleLimb({
  inForce,
  typed,
  fabrics,
}: {
  readonly inForce: LayupRules;
  readonly typed: LayupRules;
  readonly fabrics: readonly Fabric[];
}) {
  const { admin, levels } = words.value;
  const { rules: say } = admin;
  const [limb, setLimb] = useState(EXAMPLE_LIMB);
  const figure = (key: keyof typeof say.example): FieldSpec => ({
    key,
    kind: 'number',
    label: say.example[key],
  });
  const specs: readonly FieldSpec[] = [
    figure('bodyMassKg'),
    {
      ...figure('functionalLevel'),
      kind: 'choice',
      of: FUNCTIONAL_LEVELS.map((each) => [each, each] as const),
    },
    { ...figure('level'), kind: 'choice', of: Object.entries(levels) },
    figure('lengthMm'),
    figure('endMm'),
    figure('brimMm'),
  ];
  return (
    <section class="setting">
      <HelpHeading title={say.exampleTitle} text={say.exampleHelp} />
      <div class="line-fields">
        {specs.map((spec) => (
          <Field
            key={spec.key}
            spec={spec}
            typed={limb[spec.key] ?? ''}
            against={undefined}
            onType={(value) => setLimb((before) => ({ ...before, [spec.key]: value }))}
          />
        ))}
      </div>
      <div class="beside" role="status">
        <div>
          <h3>{say.byThose(inForce.version)}</h3>
          <Proposed {...{ limb, fabrics }} rules={inForce} />
        </div>
        <div>
          <h3>{say.byTyped}</h3>
          <Proposed {...{ limb, fabrics }} rules={typed} />
        </div>
      </div>
    </section>
  );
}

function Proposed({
  limb,
  rules,
  fabrics,
}: {
  readonly limb: typeof EXAMPLE_LIMB;
  readonly rules: LayupRules;
  readonly fabrics: readonly Fabric[];
}) {
  const { rules: say } = words.value.admin;
  const example = exampleOf(limb, rules, fabrics);
  if ('because' in example) {
    return (
      <>
        <p>{say.nothingProposed}</p>
        <ul>
          {example.because.map((why) => (
            <li key={why}>{why}</li>
          ))}
        </ul>
      </>
    );
  }
  return (
    <>
      <p>
        <strong>{say.row(example.row)}</strong>
      </p>
      <ol>
        {example.layers.map((layer, at) => (
          <li key={at}>{layer}</li>
        ))}
      </ol>
      {example.figures !== null && (
        <ul class="plain">
          {figureLines(example.figures).map(([label, value]) => (
            <li key={label}>
              {label}: {value}
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
