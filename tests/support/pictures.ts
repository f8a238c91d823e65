/** Pictures as a phone's browser would send them: drawn here, encoded by Skia, without Exif. */
import { createCanvas } from '@napi-rs/canvas';

export interface MadePicture {
  readonly bytes: Buffer;
  readonly base64: string;
}

/** A shape that differs by `seed`, so that no two pictures are the same. */
export function picture(
  seed = 1,
  mediaType: 'image/jpeg' | 'image/png' | 'image/webp' = 'image/jpeg',
  [widthPx, heightPx] = [160, 120] as const,
): MadePicture {
  const canvas = createCanvas(widthPx, heightPx);
  const pen = canvas.getContext('2d');
  pen.fillStyle = '#d8d0c0';
  pen.fillRect(0, 0, widthPx, heightPx);
  pen.fillStyle = '#402020';
  pen.fillRect(seed * 7, seed * 5, 20, 30);
  // Skia's types know each format by itself.
  const bytes =
    mediaType === 'image/png'
      ? canvas.toBuffer('image/png')
      : mediaType === 'image/webp'
        ? canvas.toBuffer('image/webp', 80)
        : canvas.toBuffer('image/jpeg', 80);
  return { bytes, base64: bytes.toString('base64') };
}
