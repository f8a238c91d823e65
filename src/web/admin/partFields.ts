/** What is kept of a part, as it is typed: each kind of part has fields of its own. */
import { LOAD_BEARING_KINDS, PART_KINDS, type PartKind } from '../../domain/words.ts';
import { UDI_ISSUERS } from '../../domain/udi.ts';
import { words } from '../words/words.ts';
import type { Sections } from './Section.tsx';
import type { FieldSpec, Typed } from './values.ts';

const CLICKS: readonly PartKind[] = ['lock', 'pin'];
const TILTS: readonly PartKind[] = ['pyramid', 'four_hole_adapter'];

/** The fields of a part of that kind, whether it is entered or changed. */
export function partSections(kind: PartKind): Sections {
  const { catalogue: say, help } = words.value.admin.parts;
  const { sides } = words.value;
  const optional = (key: keyof typeof help & keyof typeof say, kind: FieldSpec['kind']) =>
    ({ key, kind, label: say[key], help: help[key], nullable: true }) satisfies FieldSpec;
  const loaded = LOAD_BEARING_KINDS.includes(kind);
  return [
    {
      title: say.whatItIs,
      fields: [
        { key: 'name', kind: 'text', label: say.name, help: help.name },
        optional('holePattern', 'text'),
        optional('thread', 'text'),
        ...(CLICKS.includes(kind) ? [optional('pinFit', 'text')] : []),
        { ...optional('side', 'choice'), of: Object.entries(sides) },
        { key: 'singleUse', kind: 'tick', label: say.singleUse, help: help.singleUse },
      ],
    },
    {
      title: say.whatItBears,
      help: help.whatItBears,
      fields: [
        // Asked of every part; that one which carries the wearer has it, the service sees to (R3).
        {
          ...optional('ratedBodyMassKg', 'number'),
          ...(loaded ? { hint: say.ratedNeeded } : {}),
        },
        optional('ratingDocument', 'text'),
        ...(CLICKS.includes(kind) ? [optional('leastClicks', 'number')] : []),
        ...(TILTS.includes(kind) ? [optional('rangeDeg', 'number')] : []),
        optional('serviceIntervalDays', 'number'),
      ],
    },
    {
      title: say.onItsLabel,
      help: help.onItsLabel,
      fields: [
        {
          ...optional('udiIssuer', 'choice'),
          of: UDI_ISSUERS.map((issuer) => [issuer, say.issuers[issuer]] as const),
        },
        optional('udiDeviceIdentifier', 'text'),
      ],
    },
  ];
}

/**
 * The fields of a part that is entered; its kind decides which there are.
 * @param ofDraft the label that was scanned knows the device
 */
export function newPartSections(typed: Typed, ofDraft: boolean): Sections {
  const { parts } = words.value.admin;
  const { catalogue: say, help } = parts;
  const kind = PART_KINDS.find((each) => each === typed['kind']);
  const first = {
    fields: [
      {
        key: 'kind',
        kind: 'choice',
        label: say.kind,
        help: help.kind,
        of: Object.entries(parts.kinds),
      },
      {
        key: 'catalogueNumber',
        kind: 'text',
        label: say.catalogueNumber,
        help: help.catalogueNumber,
      },
    ] as const,
  };
  const rest = partSections(kind ?? 'screw_set');
  return [first, ...(ofDraft ? rest.slice(0, -1) : rest)];
}
