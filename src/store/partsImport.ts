/** Statements of entering many parts at once. */
import { z } from 'zod';
import type { Act } from './act.ts';
import type { Json } from './events.ts';
import { parseRows } from './rows.ts';

/** Of these catalogue numbers, those that the catalogue has. */
export async function numbersTaken(
  act: Act,
  numbers: readonly string[],
): Promise<ReadonlySet<string>> {
  const rows = await act.tx.$queryRaw`
    select catalogue_number as taken from part
    where clinic_id = ${act.clinicId}::uuid and catalogue_number = any(${[...numbers]}::text[])`;
  return new Set(parseRows(z.object({ taken: z.string() }), rows).map(({ taken }) => taken));
}

/** Of these device identifiers, those that the catalogue has, each after its issuer and a blank. */
export async function devicesTaken(
  act: Act,
  devices: readonly string[],
): Promise<ReadonlySet<string>> {
  const rows = await act.tx.$queryRaw`
    select udi_issuer || ' ' || udi_device_identifier as taken from part
    where clinic_id = ${act.clinicId}::uuid and udi_issuer is not null
      and udi_device_identifier = any(${[...devices]}::text[])`;
  return new Set(parseRows(z.object({ taken: z.string() }), rows).map(({ taken }) => taken));
}

/** @param parts as PartToAdd has them, each with an id; in one statement, all or none */
export const insertParts = (
  act: Act,
  parts: readonly Readonly<Record<string, Json>>[],
): Promise<number> => act.tx.$executeRaw`
  insert into part (clinic_id, id, kind, name, catalogue_number, hole_pattern, thread, pin_fit, side, rated_body_mass_kg,
    rating_document, single_use, least_clicks, service_interval_days, range_deg, udi_issuer, udi_device_identifier, created_at)
  select ${act.clinicId}::uuid, p.id, p.kind, p.name, p."catalogueNumber", p."holePattern", p.thread, p."pinFit", p.side,
    p."ratedBodyMassKg", p."ratingDocument", p."singleUse", p."leastClicks", p."serviceIntervalDays", p."rangeDeg",
    p."udiIssuer", p."udiDeviceIdentifier", ${act.at}
  from jsonb_to_recordset(${JSON.stringify(parts)}::jsonb) as p(
    id uuid, kind text, name text, "catalogueNumber" text, "holePattern" text, thread text, "pinFit" text, side text,
    "ratedBodyMassKg" float8, "ratingDocument" text, "singleUse" boolean, "leastClicks" int, "serviceIntervalDays" int,
    "rangeDeg" float8, "udiIssuer" text, "udiDeviceIdentifier" text)`;
