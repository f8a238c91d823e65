/** What a resin product's sheet says, as it is typed. */
import { RESIN_CHEMISTRIES, RESIN_RANGES } from '../../domain/resin.ts';
import { saidAsRecorded } from '../words/said.ts';
import { words } from '../words/words.ts';
import type { Sections } from './Section.tsx';
import type { FieldSpec } from './values.ts';

export function resinSections(isNew: boolean): Sections {
  const { resins: say, usually } = words.value.admin;
  const figure = (key: keyof typeof RESIN_RANGES): FieldSpec => ({
    key,
    kind: 'number',
    label: say.fields[key],
    hint: usually(saidAsRecorded(RESIN_RANGES[key].usual)),
    help: say.help[key],
  });
  const chemistry: FieldSpec = {
    key: 'chemistry',
    kind: 'choice',
    label: say.fields.chemistry,
    help: say.help.chemistry,
    of: RESIN_CHEMISTRIES.map((each) => [each, say.chemistries[each]] as const),
  };
  return [
    {
      title: say.sheet,
      help: say.sheetHelp,
      fields: [
        { key: 'name', kind: 'text', label: say.fields.name },
        ...(isNew ? [chemistry] : []),
        { key: 'document', kind: 'text', label: say.fields.document, help: say.help.document },
        { key: 'revision', kind: 'text', label: say.fields.revision },
        figure('densityGcm3'),
      ],
    },
    {
      title: say.ratio,
      help: say.ratioHelp,
      fields: [figure('partsResin'), figure('partsHardener'), figure('ratioTolerancePercent')],
    },
    {
      title: say.clock,
      help: say.clockHelp,
      fields: [
        figure('potLifeMinutes'),
        figure('potLifeMassG'),
        figure('potLifeTemperatureC'),
        figure('cupLimitG'),
        figure('cureHours'),
        figure('cureTemperatureC'),
      ],
    },
  ];
}
