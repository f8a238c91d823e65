/**
 * What the catalogue knows of a device (C9), and the drafts of labels that it does
 * not know: one waits for each device until somebody makes a part of it or sets it aside.
 */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { itemReferenceOf, type Device, type DeviceEntry } from '../domain/deviceIdentifier.ts';
import { reason } from '../domain/reasons/index.ts';
import { UDI_ISSUERS, type Udi } from '../domain/udi.ts';
import { PART_KINDS } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const KnownRow = z.object({
  id: z.string(),
  kind: z.enum(PART_KINDS),
  name: z.string(),
  catalogueNumber: z.string(),
  active: z.boolean(),
  deviceIdentifier: z.string(),
});
/** A part as a label knows it. */
export type KnownPart = z.infer<typeof KnownRow>;

const KNOWN = Prisma.sql`select id, kind, name, catalogue_number as "catalogueNumber", active,
  udi_device_identifier as "deviceIdentifier" from part`;

/** The part of a device; there is at most one. */
export const partOfDevice = async (act: Act, device: Device): Promise<KnownPart | undefined> =>
  parseFirst(
    KnownRow,
    await act.tx.$queryRaw`
      ${KNOWN} where clinic_id = ${act.clinicId}::uuid and udi_issuer = ${device.issuer}
        and udi_device_identifier = ${device.deviceIdentifier}`,
  );

/** Parts whose GTIN is of another package of the same thing: to be shown, never taken for it. */
export async function otherPackagesOf(act: Act, device: Device): Promise<KnownPart[]> {
  const reference = itemReferenceOf(device);
  if (reference === null) return [];
  return parseRows(
    KnownRow,
    await act.tx.$queryRaw`
      ${KNOWN} where clinic_id = ${act.clinicId}::uuid and udi_issuer = ${device.issuer}
        and substr(udi_device_identifier, 2, 12) = ${reference}
        and udi_device_identifier <> ${device.deviceIdentifier}
      order by udi_device_identifier`,
  );
}

const Said = z.object({
  lot: z.string().nullable(),
  serial: z.string().nullable(),
  expiresOn: z.string().nullable(),
  madeOn: z.string().nullable(),
  quantity: z.number().nullable(),
  additionalIdentification: z.string().nullable(),
  others: z.array(z.object({ ai: z.string(), value: z.string() })),
});
/** What the label said beside the device, as the draft keeps it. */
export const saidBy = (label: Udi): z.infer<typeof Said> => ({
  lot: label.lot,
  serial: label.serial,
  expiresOn: label.expiresOn,
  madeOn: label.madeOn,
  quantity: label.quantity,
  additionalIdentification: label.additionalIdentification,
  others: [...label.others],
});

const DraftRow = z.object({
  id: z.string(),
  issuer: z.enum(UDI_ISSUERS),
  deviceIdentifier: z.string(),
  scans: z.array(z.string()),
  said: Said,
  scannedAt: z.date(),
  scannedBy: z.string(),
  resolvedAt: z.date().nullable(),
  resolvedBy: z.string().nullable(),
  partId: z.string().nullable(),
  note: z.string().nullable(),
});
export type PartDraft = z.infer<typeof DraftRow>;

const drafts = async (act: Act, condition: Prisma.Sql): Promise<PartDraft[]> =>
  parseRows(
    DraftRow,
    await act.tx.$queryRaw`
      select d.id, d.issuer, d.device_identifier as "deviceIdentifier", d.scans, d.said, d.scanned_at as "scannedAt",
        s.printed_name as "scannedBy", d.resolved_at as "resolvedAt", r.printed_name as "resolvedBy",
        d.part_id as "partId", d.note
      from part_draft d
      join person s on s.clinic_id = d.clinic_id and s.id = d.scanned_by_id
      left join person r on r.clinic_id = d.clinic_id and r.id = d.resolved_by_id
      where d.clinic_id = ${act.clinicId}::uuid and ${condition}`,
  );

export interface DraftQuery {
  readonly waiting: boolean | null;
  readonly afterId: string | null;
  readonly take: number;
}

/** Drafts in the order in which they were scanned. */
export const listDrafts = (
  act: Act,
  { waiting, afterId, take }: DraftQuery,
): Promise<PartDraft[]> =>
  drafts(
    act,
    Prisma.sql`${waiting === null ? Prisma.sql`true` : Prisma.sql`(d.resolved_at is null) = ${waiting}`}
      and ${afterId === null ? Prisma.sql`true` : Prisma.sql`d.id > ${afterId}::uuid`}
      order by d.id limit ${take}::int`,
  );

/** @throws Refused 'not-found' where the clinic has no such draft. */
export async function loadDraft(act: Act, draftId: string): Promise<PartDraft> {
  const [draft] = await drafts(act, Prisma.sql`d.id = ${draftId}::uuid`);
  return found(draft, () => reason('not-found', { what: 'draft', id: draftId }));
}

/** Holds the draft until the transaction ends, so that two who resolve it follow each other. */
export async function holdDraft(act: Act, draftId: string): Promise<PartDraft> {
  await act.tx.$queryRaw`
    select 1 from part_draft where clinic_id = ${act.clinicId}::uuid and id = ${draftId}::uuid for no key update`;
  return loadDraft(act, draftId);
}

/** The draft that waits for a device. */
export const waitingDraft = async (act: Act, device: Device): Promise<PartDraft | undefined> =>
  (
    await drafts(
      act,
      Prisma.sql`d.issuer = ${device.issuer} and d.device_identifier = ${device.deviceIdentifier}
        and d.resolved_at is null`,
    )
  )[0];

const IdRow = z.object({ id: z.string() });

/**
 * Makes a draft of a label whose device the catalogue does not know, unless one
 * waits for it already: of two people who scan it at once, one makes it.
 */
export async function draftOf(
  act: Act,
  label: Udi,
): Promise<{ readonly draft: PartDraft; readonly made: boolean }> {
  const { issuer, deviceIdentifier, raw } = label;
  const made = parseFirst(
    IdRow,
    await act.tx.$queryRaw`
      insert into part_draft (clinic_id, id, issuer, device_identifier, scans, said, scanned_at, scanned_by_id)
      values (${act.clinicId}::uuid, ${uuidv7()}::uuid, ${issuer}, ${deviceIdentifier}, ${raw}::text[],
        ${JSON.stringify(saidBy(label))}::jsonb, ${act.at}, ${act.by.personId}::uuid)
      on conflict (clinic_id, issuer, device_identifier) where resolved_at is null do nothing
      returning id`,
  );
  const draft = await waitingDraft(act, label);
  if (draft === undefined) throw new Error(`No draft waits for ${issuer} ${deviceIdentifier}.`);
  if (made !== undefined) {
    act.record({
      kind: 'part_draft.made',
      subjectKind: 'part_draft',
      subjectId: draft.id,
      data: { issuer, deviceIdentifier, ...saidBy(label) },
    });
  }
  return { draft, made: made !== undefined };
}

/** A part that has a device's identifier now resolves the draft that waited for it, if one did. */
export async function resolveByPart(act: Act, entry: DeviceEntry, partId: string): Promise<void> {
  const { udiIssuer, udiDeviceIdentifier } = entry;
  if (udiIssuer === null || udiDeviceIdentifier === null) return;
  const draft = parseFirst(
    IdRow,
    await act.tx.$queryRaw`
      update part_draft set resolved_at = ${act.at}, resolved_by_id = ${act.by.personId}::uuid, part_id = ${partId}::uuid
      where clinic_id = ${act.clinicId}::uuid and issuer = ${udiIssuer}
        and device_identifier = ${udiDeviceIdentifier} and resolved_at is null
      returning id`,
  );
  if (draft === undefined) return;
  act.record({
    kind: 'part_draft.resolved',
    subjectKind: 'part_draft',
    subjectId: draft.id,
    data: { partId },
  });
}

/** Sets a waiting draft aside: no part is made of it. */
export async function setDraftAside(act: Act, draftId: string, note: string): Promise<void> {
  await act.tx.$executeRaw`
    update part_draft set resolved_at = ${act.at}, resolved_by_id = ${act.by.personId}::uuid, note = ${note}
    where clinic_id = ${act.clinicId}::uuid and id = ${draftId}::uuid and resolved_at is null`;
  act.record({
    kind: 'part_draft.set_aside',
    subjectKind: 'part_draft',
    subjectId: draftId,
    data: { note },
  });
}
