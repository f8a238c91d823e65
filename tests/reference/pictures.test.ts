/**
 * Pictures as encoders make them: @napi-rs/canvas (Skia: libjpeg-turbo, libpng, libwebp),
 * which is what Chromium makes of a canvas as well.
 */
import { createCanvas } from '@napi-rs/canvas';
import { describe, expect, it } from 'vitest';
import { judgePicture } from '../../src/domain/pictures.ts';

const canvas = createCanvas(161, 90);
const pen = canvas.getContext('2d');
pen.fillStyle = '#c8b090';
pen.fillRect(0, 0, 161, 90);
pen.fillStyle = '#401010';
for (let line = 0; line < 12; line += 1) pen.fillRect(line * 13, line * 7, 9, 40);

const ENCODED = {
  'image/jpeg': canvas.toBuffer('image/jpeg', 80),
  'image/png': canvas.toBuffer('image/png'),
  'image/webp': canvas.toBuffer('image/webp', 80),
} as const;

describe('pictures of a real encoder', () => {
  it.each(Object.entries(ENCODED))('%s is read with its size', (mediaType, bytes) => {
    expect(judgePicture(bytes)).toEqual({
      ok: true,
      value: { mediaType, widthPx: 161, heightPx: 90 },
    });
  });

  it.each(Object.entries(ENCODED))('%s cut off anywhere is never taken for whole', (_, bytes) => {
    for (let length = 0; length < bytes.length; length += 1) {
      expect(judgePicture(bytes.subarray(0, length)).ok, `${length} of ${bytes.length}`).toBe(
        false,
      );
    }
  });
});
