/** What a picture is, judged by its bytes. Whole ones by real encoders stand in tests/reference/pictures.test.ts. */
import { describe, expect, it } from 'vitest';
import {
  judgePicture,
  PICTURE_EDGE_LIMIT_PX,
  PICTURE_LIMIT_BYTES,
} from '../../src/domain/pictures.ts';
import { refusalCodes } from '../support/limbs.ts';

const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));
const u16 = (value: number): number[] => [value >> 8, value & 0xff];
const u32 = (value: number): number[] => [...u16(value >>> 16), ...u16(value & 0xffff)];
const le = (value: number, bytes: number): number[] =>
  Array.from({ length: bytes }, (_, at) => Math.floor(value / 256 ** at) % 256);
const judge = (bytes: readonly number[]) =>
  judgePicture(Uint8Array.from(bytes), '/photos/0/base64');

/** A segment of a JPEG: marker, length over itself and the content. */
const segment = (marker: number, content: readonly number[]): number[] => [
  0xff,
  marker,
  ...u16(content.length + 2),
  ...content,
];
const JFIF = segment(0xe0, ascii('JFIF\0'));
const frame = (widthPx: number, heightPx: number, marker = 0xc0): number[] =>
  segment(marker, [8, ...u16(heightPx), ...u16(widthPx), 1, 1, 0x11, 0]);
const SCAN = [...segment(0xda, [1, 1, 0, 0, 63, 0]), 0x55, 0xaa, 0xff, 0xd9];
const jpeg = (...segments: readonly number[][]): number[] => [0xff, 0xd8, ...segments.flat()];

const chunk = (kind: string, content: readonly number[]): number[] => [
  ...u32(content.length),
  ...ascii(kind),
  ...content,
  ...u32(0),
];
const IHDR = chunk('IHDR', [...u32(30), ...u32(20), 8, 2, 0, 0, 0]);
const IEND = chunk('IEND', []);
const png = (...chunks: readonly number[][]): number[] => [
  ...ascii('\x89PNG\r\n\x1a\n'),
  ...chunks.flat(),
];

const riff = (kind: string, content: readonly number[]): number[] => [
  ...ascii(kind),
  ...le(content.length, 4),
  ...content,
  ...(content.length % 2 === 1 ? [0] : []),
];
function webp(...chunks: readonly number[][]): number[] {
  const all = [...ascii('WEBP'), ...chunks.flat()];
  return [...ascii('RIFF'), ...le(all.length, 4), ...all];
}
const LOSSY = riff('VP8 ', [0, 0, 0, 0x9d, 1, 0x2a, ...le(30, 2), ...le(20, 2), 1, 2, 3]);
const LOSSLESS = riff('VP8L', [0x2f, ...le(29 + (19 << 14), 4), 1, 2, 3, 4, 5]);
const EXTENDED = riff('VP8X', [0, 0, 0, 0, ...le(29, 3), ...le(19, 3)]);

const SIZE = { widthPx: 30, heightPx: 20 };

describe('a picture', () => {
  it('is a JPEG, PNG or WebP by its content, with the size that it says', () => {
    const whole: [string, number[]][] = [
      ['image/jpeg', jpeg(JFIF, frame(30, 20), SCAN)],
      ['image/jpeg', jpeg(frame(30, 20, 0xc2), segment(0xc4, [0]), SCAN)],
      ['image/jpeg', jpeg([0xff], JFIF, frame(30, 20), SCAN)],
      ['image/png', png(IHDR, chunk('IDAT', [1, 2]), IEND)],
      ['image/webp', webp(LOSSY)],
      ['image/webp', webp(LOSSLESS)],
      ['image/webp', webp(EXTENDED, LOSSY)],
    ];
    for (const [mediaType, bytes] of whole) {
      expect(judge(bytes), mediaType).toEqual({ ok: true, value: { mediaType, ...SIZE } });
    }
  });

  it('is no PDF, no drawing and no empty file, and what only begins like a picture is none', () => {
    for (const bytes of [
      [],
      ascii('%PDF-1.7'),
      ascii('<svg xmlns="http://www.w3.org/2000/svg"/>'),
      ascii('GIF89a'),
      [...ascii('RIFF'), ...le(4, 4), ...ascii('WAVE')],
      jpeg([0xff, 0xe0, 0, 4, 1, 2, 0, 0, 0, 0]),
      jpeg(JFIF, SCAN),
      jpeg(frame(0, 20), SCAN),
      png(chunk('IDAT', [1]), IEND),
      png(IHDR, IEND, [1, 2, 3]),
      [...webp(LOSSY), 7],
      webp(riff('ALPH', Array<number>(20).fill(0))),
    ]) {
      expect(refusalCodes(judge(bytes)), JSON.stringify(bytes.slice(0, 30))).toEqual([
        'picture-unreadable',
      ]);
    }
  });

  it('that was cut off anywhere is refused as cut off', () => {
    for (const bytes of [
      jpeg(JFIF, frame(30, 20), SCAN),
      png(IHDR, chunk('IDAT', [1, 2, 3, 4]), IEND),
      webp(EXTENDED, LOSSY),
    ]) {
      for (let length = 12; length < bytes.length; length += 1) {
        expect(refusalCodes(judge(bytes.slice(0, length))), `${length} bytes`).toEqual([
          'picture-truncated',
        ]);
      }
    }
    expect(judge(jpeg(JFIF).slice(0, 8))).toMatchObject({
      reasons: [{ field: '/photos/0/base64', facts: { mediaType: 'image/jpeg' } }],
    });
  });

  it('holds nothing beside the picture: not where it was taken, and no words', () => {
    for (const bytes of [
      jpeg(segment(0xe1, ascii('Exif\0\0')), frame(30, 20), SCAN),
      jpeg(segment(0xed, ascii('Photoshop')), frame(30, 20), SCAN),
      jpeg(frame(30, 20), segment(0xfe, ascii('taken by')), SCAN),
      png(IHDR, chunk('eXIf', [1]), IEND),
      png(IHDR, chunk('iTXt', ascii('XML:com.adobe.xmp')), IEND),
      webp(EXTENDED, LOSSY, riff('EXIF', [1, 2])),
      webp(EXTENDED, LOSSY, riff('XMP ', [1])),
    ]) {
      expect(refusalCodes(judge(bytes))).toEqual(['picture-tells-more']);
    }
  });

  it('is not larger than a mebibyte, nor longer than the longest edge', () => {
    const filled = (length: number): number[] => {
      const rest = length - jpeg(frame(30, 20), SCAN).length;
      return jpeg(frame(30, 20), [
        ...SCAN.slice(0, -4),
        ...Array<number>(rest).fill(1),
        ...SCAN.slice(-4),
      ]);
    };
    expect(judge(filled(PICTURE_LIMIT_BYTES)).ok).toBe(true);
    expect(judge(filled(PICTURE_LIMIT_BYTES + 1))).toMatchObject({
      reasons: [{ code: 'picture-too-large', facts: { bytes: 1_048_577, limitBytes: 1_048_576 } }],
    });
    expect(judge(jpeg(frame(PICTURE_EDGE_LIMIT_PX, 20), SCAN)).ok).toBe(true);
    expect(judge(jpeg(frame(20, PICTURE_EDGE_LIMIT_PX + 1), SCAN))).toMatchObject({
      reasons: [{ code: 'picture-edge-too-long', facts: { edgePx: 4097, limitPx: 4096 } }],
    });
  });
});
