import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { STARTING_LABEL_SIZES, type LabelSizes } from '../domain/labelSizes.ts';
import type { Act } from './act.ts';
import { parseFirst } from './rows.ts';

const SizesRow = z.object({
  version: z.number(),
  socketWidthMm: z.number(),
  socketHeightMm: z.number(),
  modelWidthMm: z.number(),
  modelHeightMm: z.number(),
  binWidthMm: z.number(),
  binHeightMm: z.number(),
  marginMm: z.number(),
  createdAt: z.date(),
  createdBy: z.string(),
});

/** The sizes in force; version 0, by nobody, until the clinic enters its own. */
export interface LabelSizesInForce {
  readonly version: number;
  readonly sizes: LabelSizes;
  readonly createdAt: Date | null;
  readonly createdBy: string | null;
}

export async function loadLabelSizes({ tx, clinicId }: Act): Promise<LabelSizesInForce> {
  const row = parseFirst(
    SizesRow,
    await tx.$queryRaw`
      select l.version, l.socket_width_mm as "socketWidthMm", l.socket_height_mm as "socketHeightMm",
        l.model_width_mm as "modelWidthMm", l.model_height_mm as "modelHeightMm",
        l.bin_width_mm as "binWidthMm", l.bin_height_mm as "binHeightMm", l.margin_mm as "marginMm",
        l.created_at as "createdAt", p.printed_name as "createdBy"
      from label_sizes l join person p on p.clinic_id = l.clinic_id and p.id = l.created_by_id
      where l.clinic_id = ${clinicId}::uuid order by l.version desc limit 1`,
  );
  if (row === undefined) {
    return { version: 0, sizes: STARTING_LABEL_SIZES, createdAt: null, createdBy: null };
  }
  const { version, createdAt, createdBy, marginMm } = row;
  return {
    version,
    createdAt,
    createdBy,
    sizes: {
      socket: { widthMm: row.socketWidthMm, heightMm: row.socketHeightMm },
      model: { widthMm: row.modelWidthMm, heightMm: row.modelHeightMm },
      bin: { widthMm: row.binWidthMm, heightMm: row.binHeightMm },
      marginMm,
    },
  };
}

/** The sizes in force, held with the clinic until the transaction ends, so that versions count one by one. */
export async function holdLabelSizes(act: Act): Promise<LabelSizesInForce> {
  await act.tx.$queryRaw`select 1 from clinic where id = ${act.clinicId}::uuid for no key update`;
  return loadLabelSizes(act);
}

/** Writes the version after the one in force; the caller holds it. @returns its id */
export async function writeLabelSizes(
  act: Act,
  version: number,
  { socket, model, bin, marginMm }: LabelSizes,
): Promise<string> {
  const id = uuidv7();
  await act.tx.labelSizes.create({
    data: {
      clinicId: act.clinicId,
      id,
      version,
      socketWidthMm: socket.widthMm,
      socketHeightMm: socket.heightMm,
      modelWidthMm: model.widthMm,
      modelHeightMm: model.heightMm,
      binWidthMm: bin.widthMm,
      binHeightMm: bin.heightMm,
      marginMm,
      createdAt: act.at,
      createdById: act.by.personId,
    },
  });
  return id;
}
