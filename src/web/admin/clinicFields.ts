/** What a clinic sets for itself, as it is typed: every setting with what it does and where its value comes from. */
import { PLY_MEANS } from '../../domain/limbVolume.ts';
import { SECOND_FACTOR_FOR } from '../../domain/secondFactor.ts';
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { decimalsOf } from './money.ts';
import type { Sections } from './Section.tsx';
import type { FieldSpec } from './values.ts';

type Setting = keyof Schemas['ClinicChangeInput'];

const PAPERS = ['A4', 'Letter'] as const;
const zones = (): readonly (readonly [string, string])[] =>
  ['UTC', ...Intl.supportedValuesOf('timeZone')].map((zone) => [zone, zone] as const);
const currencies = (): readonly (readonly [string, string])[] =>
  Intl.supportedValuesOf('currency').map((code) => [code, code] as const);

/** @param currency as it is typed; empty where there is none */
export function clinicSections(currency: string): Sections {
  const { clinic: say, usually } = words.value.admin;
  const field = (
    key: Setting,
    kind: FieldSpec['kind'],
    more: Partial<FieldSpec> = {},
  ): FieldSpec => {
    const { label, help, usual } = say.settings[key] as SettingWords;
    return {
      key,
      kind,
      label,
      help,
      ...(usual === undefined ? {} : { hint: usually(usual) }),
      ...more,
    };
  };
  const choice = (key: Setting, of: FieldSpec['of']): FieldSpec =>
    field(key, 'choice', of === undefined ? {} : { of });
  return [
    {
      title: say.sections.house,
      fields: [
        field('name', 'text'),
        choice('timeZone', zones()),
        choice(
          'paper',
          PAPERS.map((each) => [each, each] as const),
        ),
        field('retentionYears', 'number'),
        field('minorsUntilAge', 'number', { nullable: true }),
      ],
    },
    {
      title: say.sections.delivery,
      fields: [
        field('alignmentToleranceDeg', 'number'),
        field('alignmentToleranceMm', 'number'),
        field('releaserMayBeSoleWorker', 'tick'),
        field('firstRecheckDays', 'number'),
      ],
    },
    {
      title: say.sections.limb,
      fields: [
        choice(
          'plyMeans',
          PLY_MEANS.map((each) => [each, say.ply[each]] as const),
        ),
        field('perPly', 'number'),
        field('volumeLimitPercent', 'number'),
      ],
    },
    {
      title: say.sections.resin,
      fields: [
        field('bagLossG', 'number'),
        field('resinMarginPercent', 'number'),
        field('scaleResolutionG', 'number'),
      ],
    },
    {
      title: say.sections.dates,
      help: say.datesHelp,
      fields: [
        field('wantedChance', 'number'),
        field('atRiskBelow', 'number'),
        field('usualCastingDays', 'number'),
        field('usualCheckFittingDays', 'number'),
        field('usualLaminationDays', 'number'),
        field('usualDeliveryDays', 'number'),
      ],
    },
    {
      title: say.sections.shelf,
      fields: [
        field('reorderWindowDays', 'number'),
        field('reorderLeadDays', 'number'),
        field('reorderCoverDays', 'number'),
      ],
    },
    {
      title: say.sections.money,
      fields: [
        field('currency', 'choice', { of: currencies(), nullable: true }),
        field('labourRatePerHourMinor', 'money', {
          nullable: true,
          decimals: decimalsOf(currency),
          ...(currency === '' ? {} : { label: say.labourIn(currency) }),
        }),
      ],
    },
    {
      title: say.sections.signIn,
      fields: [
        choice(
          'secondFactorFor',
          SECOND_FACTOR_FOR.map((each) => [each, say.secondFactorFor[each]] as const),
        ),
        field('benchLockMinutes', 'number'),
        field('pinHours', 'number'),
      ],
    },
    { title: say.sections.people, fields: [field('figuresByPerson', 'tick')] },
  ];
}

interface SettingWords {
  readonly label: string;
  readonly help: string;
  readonly usual?: string;
}
