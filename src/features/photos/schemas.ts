/** Pictures on the wire: sent within the act that they belong to, read back one by one. */
import { z } from 'zod';
import { PICTURE_LIMIT_BYTES, PICTURE_MEDIA_TYPES, PICTURES_MOST } from '../../domain/pictures.ts';
import { idOf, instantOut, uuid } from '../../http/fields.ts';

/** Four characters for three bytes. */
const LONGEST_BASE64 = Math.ceil(PICTURE_LIMIT_BYTES / 3) * 4;

/** A body that carries pictures: the most of them, with a mebibyte for all else. */
export const BODY_WITH_PICTURES_BYTES = PICTURES_MOST * LONGEST_BASE64 + 1_048_576;

const isBase64 = (text: string): boolean => Buffer.from(text, 'base64').toString('base64') === text;

export const PictureGiven = z
  .strictObject({
    base64: z
      .string()
      .min(1)
      // Longer ones are read all the same: they are refused with how large they are.
      .refine(isBase64, 'the bytes in base64 (RFC 4648, 4), padded, without line breaks')
      .describe(
        `A JPEG, PNG or WebP picture of at most ${PICTURE_LIMIT_BYTES} bytes, in base64, without Exif or XMP.`,
      ),
  })
  .meta({ id: 'PictureGiven' });
export type PictureGiven = z.output<typeof PictureGiven>;

/** Pictures of one finding, or of one check. */
export const picturesGiven = z.array(PictureGiven).max(PICTURES_MOST);

export const PhotoParams = z.strictObject({ photoId: idOf('Photo') });
export const SocketParams = z.strictObject({ socketId: uuid() });

export const PhotoView = z
  .object({
    id: uuid(),
    findingId: uuid().nullable().describe('The finding it was taken of.'),
    operationId: uuid().nullable().describe('The operation that asked for it.'),
    of: z.string().describe('What it shows: the note of the finding, or the operation.'),
    mediaType: z.enum(PICTURE_MEDIA_TYPES),
    widthPx: z.int(),
    heightPx: z.int(),
    byteCount: z.int(),
    sha256: z.string().describe('Of the bytes; it stands in the event that kept the picture.'),
    takenAt: instantOut().describe('When it was kept.'),
    takenBy: z.string().describe('Printed name.'),
  })
  .meta({ id: 'Photo' });
export const PhotoList = z.object({ items: z.array(PhotoView) }).meta({ id: 'PhotoList' });
