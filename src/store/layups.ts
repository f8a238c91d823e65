/** Layups of sockets, and what they are worked out from (C2). */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { LayupFigures } from '../domain/layup.ts';
import type { DraftBasis } from '../domain/layupDraft.ts';
import type { LayupLine } from '../domain/layupRules.ts';
import { reason } from '../domain/reasons/index.ts';
import { FUNCTIONAL_LEVELS, LEVELS } from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { asJson } from './json.ts';
import { StoredBasis, storedDay, StoredFigures, StoredLine } from './layupJson.ts';
import { found } from './refused.ts';
import { parseFirst } from './rows.ts';

const LayupRow = z.object({
  id: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  running: z.number(),
  ruleSetId: z.string().nullable(),
  ruleRow: z.string().nullable(),
  lines: z.array(StoredLine),
  basis: StoredBasis,
  figures: StoredFigures,
  why: z.string().nullable(),
  draftedAt: z.date(),
  draftedBy: z.string(),
  approvedAt: z.date().nullable(),
  approvedBy: z.string().nullable(),
  signatureId: z.string().nullable(),
  supersededAt: z.date().nullable(),
});

/** A layup of a socket as it stands in the record: its layers, its figures, and what they came from. */
export type LayupRecord = z.infer<typeof LayupRow>;

const SELECT = Prisma.sql`
  select l.id, l.socket_id as "socketId", s.number as "socketNumber", l.running, l.rule_set_id as "ruleSetId",
    l.rule_row as "ruleRow", l.lines, l.basis, l.figures, l.why, l.drafted_at as "draftedAt",
    p.printed_name as "draftedBy", l.approved_at as "approvedAt", g.printed_name as "approvedBy",
    l.signature_id as "signatureId", l.superseded_at as "supersededAt"
  from layup l
  join socket s on s.clinic_id = l.clinic_id and s.id = l.socket_id
  join person p on p.clinic_id = l.clinic_id and p.id = l.drafted_by_id
  left join signature g on g.clinic_id = l.clinic_id and g.id = l.signature_id`;

/** @throws Refused 'not-found' where the clinic has no such layup. */
export async function loadLayup(act: Act, layupId: string): Promise<LayupRecord> {
  const row = parseFirst(
    LayupRow,
    await act.tx
      .$queryRaw`${SELECT} where l.clinic_id = ${act.clinicId}::uuid and l.id = ${layupId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'layup', id: layupId }));
}

/** The newest layup of a socket; null where none was drafted. */
export async function newestLayup(act: Act, socketId: string): Promise<LayupRecord | null> {
  const row = parseFirst(
    LayupRow,
    await act.tx.$queryRaw`
      ${SELECT} where l.clinic_id = ${act.clinicId}::uuid and l.socket_id = ${socketId}::uuid
        and l.superseded_at is null`,
  );
  return row ?? null;
}

const LayupStateRow = z.object({ id: z.string(), running: z.number(), approved: z.boolean() });

/** The newest layup of a socket in short. */
export type LayupState = z.infer<typeof LayupStateRow>;

/** Which layup of a socket is the newest, and whether it is approved; null where none was drafted. */
export async function layupStateOf(act: Act, socketId: string): Promise<LayupState | null> {
  const row = parseFirst(
    LayupStateRow,
    await act.tx.$queryRaw`
      select id, running, approved_at is not null as approved from layup
      where clinic_id = ${act.clinicId}::uuid and socket_id = ${socketId}::uuid and superseded_at is null`,
  );
  return row ?? null;
}

export interface NewLayup {
  readonly socketId: string;
  /** The rules and the row whose proposal it is; null where it is not what they propose. */
  readonly rule: { readonly setId: string; readonly row: string } | null;
  readonly lines: readonly LayupLine[];
  readonly basis: DraftBasis;
  readonly figures: LayupFigures;
  readonly why: string | null;
}

/** Writes a draft, which supersedes the one before; the caller holds the socket. @returns its id */
export async function writeLayup(
  act: Act,
  before: LayupState | null,
  layup: NewLayup,
): Promise<{ id: string; running: number }> {
  const { tx, clinicId, at } = act;
  if (before !== null) {
    await tx.layup.update({
      where: { clinicId_id: { clinicId, id: before.id } },
      data: { supersededAt: at },
    });
  }
  const id = uuidv7();
  const running = (before?.running ?? 0) + 1;
  await tx.layup.create({
    data: {
      clinicId,
      id,
      socketId: layup.socketId,
      running,
      ruleSetId: layup.rule?.setId ?? null,
      ruleRow: layup.rule?.row ?? null,
      lines: asJson(layup.lines),
      basis: asJson(layup.basis),
      figures: asJson(layup.figures),
      why: layup.why,
      draftedAt: at,
      draftedById: act.by.personId,
    },
  });
  return { id, running };
}

/** Sets a layup's approval; the signature is written before. */
export async function approveLayup(act: Act, layupId: string, signatureId: string): Promise<void> {
  await act.tx.layup.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: layupId } },
    data: { approvedAt: act.at, signatureId },
  });
}

const GroundsRow = z.object({
  functionalLevel: z.enum(FUNCTIONAL_LEVELS),
  level: z.enum(LEVELS),
  bodyMassKg: z.number().nullable(),
  bodyMassOn: storedDay.nullable(),
  measureSetId: z.string(),
  takenOn: storedDay,
  capDepthMm: z.number().nullable(),
  measures: z.array(z.object({ heightMm: z.number(), circumferenceMm: z.number() })),
});

/** What layup rules ask about a socket's wearer, and the limb as it was measured with the socket's cast. */
export type LayupGrounds = z.infer<typeof GroundsRow>;

/** @param socketId of a socket that is there */
export async function loadLayupGrounds(act: Act, socketId: string): Promise<LayupGrounds> {
  const row = parseFirst(
    GroundsRow,
    await act.tx.$queryRaw`
      select o.functional_level as "functionalLevel", o.level, b.mass_kg as "bodyMassKg",
        b.measured_on::text as "bodyMassOn", m.id as "measureSetId", m.taken_on::text as "takenOn",
        m.cap_depth_mm as "capDepthMm",
        (select json_agg(json_build_object('heightMm', h.height_mm, 'circumferenceMm', h.circumference_mm)
            order by h.height_mm)
          from measure h where h.clinic_id = m.clinic_id and h.measure_set_id = m.id) as measures
      from socket s
      join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join measure_set m on m.clinic_id = s.clinic_id and m.cast_id = s.cast_id
      left join lateral (
        select mass_kg, measured_on from body_mass
        where clinic_id = o.clinic_id and patient_id = o.patient_id
        order by measured_on desc, id desc limit 1) b on true
      where s.clinic_id = ${act.clinicId}::uuid and s.id = ${socketId}::uuid`,
  );
  if (row === undefined) throw new Error(`Socket ${socketId} has no measures of its cast.`);
  return row;
}
