/**
 * A picture of the phone's camera, made small enough to send. It is drawn anew, upright,
 * so that nothing is left of what the camera wrote beside it: not where it was taken.
 */
import { PICTURE_LIMIT_BYTES } from '../../domain/pictures.ts';

const LONGEST_EDGE_PX = 1600;
/** Tried one after the other until it is small enough; the first nearly always is. */
const QUALITIES = [0.82, 0.6, 0.4] as const;

/** @returns a JPEG in base64; undefined where the file is no picture that this browser reads */
export async function scaledPicture(file: Blob): Promise<string | undefined> {
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(
    () => undefined,
  );
  if (picture === undefined) return undefined;
  const scale = Math.min(1, LONGEST_EDGE_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const pen = canvas.getContext('2d');
  if (pen === null) return undefined;
  // JPEG knows no transparency: what was clear would come out black.
  pen.fillStyle = '#fff';
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  for (const quality of QUALITIES) {
    const base64 = canvas.toDataURL('image/jpeg', quality).split(',')[1] ?? '';
    if (base64 !== '' && (base64.length * 3) / 4 <= PICTURE_LIMIT_BYTES) return base64;
  }
  return undefined;
}

/** As an image's source: the page's policy lets images come from here and from data: addresses. */
export const sourceOf = (base64: string, mediaType = 'image/jpeg'): string =>
  `data:${mediaType};base64,${base64}`;
