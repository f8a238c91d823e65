/** Pictures kept with findings and with the answers of operations. Lists never carry the bytes. */
import { createHash } from 'node:crypto';
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { PICTURE_MEDIA_TYPES, type Picture } from '../domain/pictures.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';

/** A picture that was judged, and its bytes. */
export interface JudgedPicture extends Picture {
  readonly bytes: Uint8Array<ArrayBuffer>;
}
/** What it was taken of. */
type TakenOf =
  | { readonly findingId: string }
  | { readonly operationRecordId: string; readonly checkKey: string };

/** What the chain of events holds of a picture. */
export interface KeptPhoto {
  readonly id: string;
  readonly sha256: string;
}

/** A fresh id for each picture, so that an answer can name them before they are written. */
export const withIds = (
  pictures: readonly JudgedPicture[],
): readonly (JudgedPicture & KeptPhoto)[] =>
  pictures.map((picture) => ({
    ...picture,
    id: uuidv7(),
    sha256: createHash('sha256').update(picture.bytes).digest('hex'),
  }));

export async function writePhotos(
  act: Act,
  takenOf: TakenOf,
  photos: readonly (JudgedPicture & KeptPhoto)[],
): Promise<void> {
  if (photos.length === 0) return;
  const taken = { clinicId: act.clinicId, takenAt: act.at, takenById: act.by.personId };
  await act.tx.photo.createMany({
    data: photos.map((photo, at) => ({ ...taken, ...takenOf, ...photo, seq: at + 1 })),
  });
}

const PhotoRow = z.object({
  id: z.string(),
  findingId: z.string().nullable(),
  operationId: z.string().nullable(),
  of: z.string(),
  mediaType: z.enum(PICTURE_MEDIA_TYPES),
  widthPx: z.int(),
  heightPx: z.int(),
  byteCount: z.int(),
  sha256: z.string(),
  takenAt: z.date(),
  takenBy: z.string(),
});
export type PhotoRow = z.infer<typeof PhotoRow>;

/** The pictures of a socket, the oldest first. `of` is the finding's note, or the operation's title. */
export const listPhotos = async (
  { tx, clinicId }: Pick<Act, 'tx' | 'clinicId'>,
  socketId: string,
): Promise<PhotoRow[]> =>
  parseRows(
    PhotoRow,
    await tx.$queryRaw`
      select x.id, x.finding_id as "findingId", o.id as "operationId", coalesce(o.title, f.note) as of,
        x.media_type as "mediaType", x.width_px as "widthPx", x.height_px as "heightPx",
        coalesce(octet_length(x.bytes), 0) as "byteCount", x.sha256, x.taken_at as "takenAt", p.printed_name as "takenBy"
      from photo x
      left join finding f on f.clinic_id = x.clinic_id and f.id = x.finding_id
      left join operation_record r on r.clinic_id = x.clinic_id and r.id = x.operation_record_id
      left join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
      join person p on p.clinic_id = x.clinic_id and p.id = x.taken_by_id
      where x.clinic_id = ${clinicId}::uuid
        and (x.finding_id = any(array(select id from finding
            where clinic_id = ${clinicId}::uuid and socket_id = ${socketId}::uuid))
          or x.operation_record_id = any(array(select r.id from operation_record r
            join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
            where o.clinic_id = ${clinicId}::uuid and o.socket_id = ${socketId}::uuid)))
      order by x.taken_at, x.finding_id, x.operation_record_id, x.check_key, x.seq`,
  );

/** What a signature for a finding vouches for of its pictures, the first one first. */
export const shaOfPhotos = async (act: Act, findingId: string): Promise<string[]> => {
  const rows = await act.tx.photo.findMany({
    where: { clinicId: act.clinicId, findingId },
    orderBy: { seq: 'asc' },
    select: { sha256: true },
  });
  return rows.map(({ sha256 }) => sha256);
};

export const loadPhoto = (
  { tx, clinicId }: Pick<Act, 'tx' | 'clinicId'>,
  id: string,
): Promise<{ readonly mediaType: string; readonly bytes: Uint8Array | null } | null> =>
  tx.photo.findUnique({
    where: { clinicId_id: { clinicId, id } },
    select: { mediaType: true, bytes: true },
  });
