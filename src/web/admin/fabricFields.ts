/** What a fabric's sheet says, as it is typed. */
import { FABRIC_RANGES } from '../../domain/fabrics.ts';
import { saidAsRecorded } from '../words/said.ts';
import { words } from '../words/words.ts';
import type { Sections } from './Section.tsx';
import type { FieldSpec } from './values.ts';

export function fabricSections(isNew: boolean): Sections {
  const { fabrics: say, usually } = words.value.admin;
  const figure = (key: keyof typeof FABRIC_RANGES): FieldSpec => ({
    key,
    kind: 'number',
    label: say.fields[key],
    hint: usually(saidAsRecorded(FABRIC_RANGES[key].usual)),
    help: say.help[key],
  });
  const form: FieldSpec = {
    key: 'form',
    kind: 'choice',
    label: say.fields.form,
    help: say.help.form,
    of: Object.entries(say.forms),
  };
  return [
    {
      fields: [
        { key: 'name', kind: 'text', label: say.fields.name, help: say.help.name },
        { key: 'material', kind: 'text', label: say.fields.material, help: say.help.material },
        ...(isNew ? [form] : []),
        figure('arealDensityGm2'),
        figure('widthMm'),
        figure('fibreDensityGcm3'),
        figure('stretchPercent'),
      ],
    },
  ];
}
