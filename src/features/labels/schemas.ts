/** Scanned labels and the drafts of what the catalogue does not know, on the wire (C9). */
import { z } from 'zod';
import { UDI_ISSUERS } from '../../domain/udi.ts';
import { PART_KINDS } from '../../domain/words.ts';
import { dayOut, idOf, instantOut, note, text, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { PartToAdd } from '../catalogue/schemas.ts';
import { received, receivedWarnings } from '../hardware/schemas.ts';

const scanned = {
  scans: z
    .array(z.string().min(1).max(1000))
    .min(1)
    .max(3)
    .describe(
      'The codes of one label in any order, as scanned or as printed under them: GS1 element strings (with or without symbology identifier and FNC1, or with brackets), GS1 Digital Link addresses, HIBC primary and secondary codes.',
    ),
  separatorsKept: z
    .boolean()
    .default(false)
    .describe(
      'True where the reader is known to hand on FNC1 (the camera does; a keyboard scanner may not).',
    ),
};

export const ScannedLabel = z.strictObject(scanned).meta({ id: 'ScannedLabel' });
export type ScannedLabel = z.output<typeof ScannedLabel>;

export const ReceiveScanned = z
  .strictObject({
    ...scanned,
    ...received,
    serial: text(60).optional().describe('Only where the label leaves it out.'),
    lot: text(60).optional().describe('Only where the label leaves it out.'),
    count: z
      .int()
      .min(1)
      .max(1_000_000)
      .optional()
      .describe('Pieces of a lot, where the label does not count them. A serial is one piece.'),
  })
  .meta({ id: 'ReceiveScanned' });
export type ReceiveScanned = z.output<typeof ReceiveScanned>;

const says = {
  lot: z.string().nullable(),
  serial: z.string().nullable(),
  expiresOn: dayOut().nullable().describe('Last day of use.'),
  madeOn: dayOut().nullable(),
  quantity: z.int().nullable().describe('Pieces in the package, where the label counts them.'),
  additionalIdentification: z.string().nullable().describe("The maker's own (GS1 240)."),
  others: z
    .array(z.object({ ai: z.string(), value: z.string() }))
    .describe('Further elements, by application identifier (GS1).'),
};
const device = {
  issuer: z.enum(UDI_ISSUERS),
  deviceIdentifier: z
    .string()
    .describe('GS1: the 14 figures of the GTIN. HIBCC: labeler, product and unit of measure.'),
};

const LabelSays = z
  .object({
    ...device,
    ...says,
    monthOnly: z
      .array(z.enum(['expiresOn', 'madeOn']))
      .describe('Days that the label leaves open: the last of the month is meant.'),
    expired: z.boolean().describe('Past its last day of use today.'),
  })
  .meta({ id: 'LabelSays' });

const KnownPart = z
  .object({
    id: uuid(),
    kind: z.enum(PART_KINDS),
    name: z.string(),
    catalogueNumber: z.string(),
    active: z.boolean(),
    deviceIdentifier: z.string(),
  })
  .meta({ id: 'KnownPart' });

export const PartDraftView = z
  .object({
    id: uuid(),
    ...device,
    scans: z.array(z.string()).describe('As they came.'),
    said: z.object(says).describe('What else the label said.'),
    scannedAt: instantOut(),
    scannedBy: z.string(),
    resolvedAt: instantOut().nullable().describe('Null while it waits.'),
    resolvedBy: z.string().nullable(),
    partId: uuid().nullable().describe('The part that it became; null where it was set aside.'),
    note: z.string().nullable().describe('Why it was set aside.'),
  })
  .meta({ id: 'PartDraft' });
export type PartDraftView = z.input<typeof PartDraftView>;
export const PartDraftPage = pageOf(PartDraftView).meta({ id: 'PartDraftPage' });

const otherPackages = z
  .array(KnownPart)
  .describe(
    'Parts whose GTIN is of another package of the same thing (piece and case). Shown for asking: one is never taken for the other.',
  );

export const LabelRead = z
  .object({
    label: LabelSays,
    part: KnownPart.nullable().describe('The part of the catalogue that this device is.'),
    item: z
      .object({ id: uuid(), label: z.string(), placeName: z.string() })
      .nullable()
      .describe('The piece with this serial, where it was received.'),
    draft: PartDraftView.nullable().describe('What waits for an administrator, where no part is.'),
    otherPackages,
  })
  .meta({ id: 'LabelRead' });

export const ScanReceived = z
  .object({
    outcome: z
      .enum(['received', 'draft_made', 'draft_waits'])
      .describe(
        'draft_made and draft_waits: the catalogue does not know the device, and nothing was received.',
      ),
    label: LabelSays,
    part: KnownPart.nullable(),
    itemIds: z.array(uuid()),
    warnings: receivedWarnings,
    draft: PartDraftView.nullable(),
    otherPackages,
  })
  .meta({ id: 'ScanReceived' });

export const PartDraftQuery = z.strictObject({
  ...pageQuery,
  state: z.enum(['waiting', 'resolved', 'any']).default('waiting'),
});
export type PartDraftQuery = z.output<typeof PartDraftQuery>;
export const PartDraftParams = z.strictObject({ partDraftId: idOf('Draft') });

/** As a part is entered, but that the draft knows the device. */
export const PartOfDraft = PartToAdd.omit({ udiIssuer: true, udiDeviceIdentifier: true }).meta({
  id: 'PartOfDraft',
});
export type PartOfDraft = z.output<typeof PartOfDraft>;

export const SetDraftAside = z
  .strictObject({ note: note(500).describe('Why no part is made of it.') })
  .meta({ id: 'SetDraftAside' });
