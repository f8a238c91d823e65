import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { UDI_ISSUERS } from '../domain/udi.ts';
import {
  FASTENER_SIZES,
  JOINT_KINDS,
  PART_KINDS,
  PROPERTY_CLASSES,
  SIDES,
  type PartKind,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

export const THREADLOCKER = ['none', 'required'] as const;

const SettingRow = z.object({
  id: z.string(),
  jointKind: z.enum(JOINT_KINDS),
  fastenerCount: z.number(),
  fastenerSize: z.enum(FASTENER_SIZES),
  propertyClass: z.enum(PROPERTY_CLASSES),
  torqueMinNm: z.number(),
  torqueMaxNm: z.number(),
  threadlocker: z.enum(THREADLOCKER),
  document: z.string(),
  revision: z.string(),
  // From JSON, hence as text.
  recordedAt: z.coerce.date(),
  supersededAt: z.coerce.date().nullable(),
});

const CatalogueRow = z.object({
  id: z.string(),
  kind: z.enum(PART_KINDS),
  name: z.string(),
  catalogueNumber: z.string(),
  holePattern: z.string().nullable(),
  thread: z.string().nullable(),
  pinFit: z.string().nullable(),
  side: z.enum(SIDES).nullable(),
  ratedBodyMassKg: z.number().nullable(),
  ratingDocument: z.string().nullable(),
  singleUse: z.boolean(),
  leastClicks: z.number().nullable(),
  serviceIntervalDays: z.number().nullable(),
  rangeDeg: z.number().nullable(),
  udiIssuer: z.enum(UDI_ISSUERS).nullable(),
  udiDeviceIdentifier: z.string().nullable(),
  active: z.boolean(),
  createdAt: z.date(),
  version: z.number(),
  settings: z.array(SettingRow),
});

/** A part of the catalogue with its torque settings, the newest first. */
export type CataloguePart = z.infer<typeof CatalogueRow>;

const SELECT = Prisma.sql`
  select p.id, p.kind, p.name, p.catalogue_number as "catalogueNumber", p.hole_pattern as "holePattern", p.thread,
    p.pin_fit as "pinFit", p.side, p.rated_body_mass_kg as "ratedBodyMassKg", p.rating_document as "ratingDocument",
    p.single_use as "singleUse", p.least_clicks as "leastClicks", p.service_interval_days as "serviceIntervalDays",
    p.range_deg as "rangeDeg",
    p.udi_issuer as "udiIssuer", p.udi_device_identifier as "udiDeviceIdentifier", p.active, p.created_at as "createdAt", p.version,
    coalesce((select json_agg(json_build_object('id', t.id, 'jointKind', t.joint_kind,
        'fastenerCount', t.fastener_count, 'fastenerSize', t.fastener_size, 'propertyClass', t.property_class,
        'torqueMinNm', t.torque_min_nm, 'torqueMaxNm', t.torque_max_nm, 'threadlocker', t.threadlocker,
        'document', t.document, 'revision', t.revision, 'recordedAt', t.recorded_at, 'supersededAt', t.superseded_at)
        order by t.superseded_at desc nulls first, t.id desc)
      from torque_setting t where t.clinic_id = p.clinic_id and t.part_id = p.id), '[]'::json) as settings
  from part p`;

/** @throws Refused 'not-found' where the catalogue has no such part. */
export async function loadPart(act: Act, partId: string): Promise<CataloguePart> {
  const row = parseFirst(
    CatalogueRow,
    await act.tx
      .$queryRaw`${SELECT} where p.clinic_id = ${act.clinicId}::uuid and p.id = ${partId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'part', id: partId }));
}

/** Holds the part until the transaction ends, so that two new settings of it follow each other. */
export async function holdPart(act: Act, partId: string): Promise<CataloguePart> {
  await act.tx.$queryRaw`
    select 1 from part where clinic_id = ${act.clinicId}::uuid and id = ${partId}::uuid for no key update`;
  return loadPart(act, partId);
}

export interface PartQuery {
  readonly kind: PartKind | null;
  readonly active: boolean | null;
  readonly afterNumber: string | null;
  readonly take: number;
}

/** Parts by catalogue number. */
export async function listParts(act: Act, query: PartQuery): Promise<CataloguePart[]> {
  const asked = [
    Prisma.sql`p.clinic_id = ${act.clinicId}::uuid`,
    query.kind === null ? null : Prisma.sql`p.kind = ${query.kind}`,
    query.active === null ? null : Prisma.sql`p.active = ${query.active}::boolean`,
    query.afterNumber === null ? null : Prisma.sql`p.catalogue_number > ${query.afterNumber}`,
  ].filter((condition) => condition !== null);
  return parseRows(
    CatalogueRow,
    await act.tx.$queryRaw`
      ${SELECT} where ${Prisma.join(asked, ' and ')} order by p.catalogue_number limit ${query.take}::int`,
  );
}
