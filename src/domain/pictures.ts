/**
 * Pictures as evidence: what a file is, judged by its content and never by its name, and
 * whether it is whole. Only the containers are read, not the picture itself: JPEG (ITU-T
 * T.81 Annex B), PNG (W3C PNG third edition, 5 and 11) and WebP (RFC 9649).
 *
 * A picture is kept as it came, byte for byte, so what must not be in the record is refused
 * here: what a camera writes beside the picture (where it was taken, with which phone) is
 * no concern of a clinic's book (minimum necessary, 45 CFR 164.502(b)).
 */
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

export const PICTURE_MEDIA_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const;
export type PictureMediaType = (typeof PICTURE_MEDIA_TYPES)[number];

/** 1 MiB: five times what the client makes of a phone's picture. A starting value, no source; the database holds it too. */
export const PICTURE_LIMIT_BYTES = 1_048_576;
/** Longer edges are refused: a reader's memory goes with the area. A starting value, no source. */
export const PICTURE_EDGE_LIMIT_PX = 4096;
/** So many pictures to one finding, or to one check: a starting value, no source; the database holds it too. */
export const PICTURES_MOST = 4;

export interface Picture {
  readonly mediaType: PictureMediaType;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** What a container says of its picture, or what is wrong with it. */
type Read = (Omit<Picture, 'mediaType'> & { readonly tells: boolean }) | 'truncated' | 'unreadable';

const text = (bytes: Uint8Array, from: number, length: number): string =>
  String.fromCharCode(...bytes.subarray(from, from + length));

/**
 * Judges the bytes of a picture.
 * @param field JSON Pointer to where they were sent
 * @returns what it is; or 'picture-too-large', 'picture-unreadable', 'picture-truncated', 'picture-tells-more'
 */
export function judgePicture(bytes: Uint8Array, field?: string): Verdict<Picture> {
  const against = (why: Reason): Verdict<Picture> => refused([why]);
  if (bytes.length > PICTURE_LIMIT_BYTES) {
    const facts = { bytes: bytes.length, limitBytes: PICTURE_LIMIT_BYTES };
    return against(reason('picture-too-large', facts, field));
  }
  const mediaType = mediaTypeOf(bytes);
  if (mediaType === undefined) return against(reason('picture-unreadable', {}, field));
  const read = READERS[mediaType](bytes);
  if (read === 'truncated') return against(reason('picture-truncated', { mediaType }, field));
  if (read === 'unreadable' || Math.min(read.widthPx, read.heightPx) < 1) {
    return against(reason('picture-unreadable', {}, field));
  }
  const { tells, widthPx, heightPx } = read;
  const edgePx = Math.max(widthPx, heightPx);
  if (edgePx > PICTURE_EDGE_LIMIT_PX) {
    return against(
      reason('picture-edge-too-long', { edgePx, limitPx: PICTURE_EDGE_LIMIT_PX }, field),
    );
  }
  if (tells) return against(reason('picture-tells-more', {}, field));
  return granted({ mediaType, widthPx, heightPx });
}

/** By the first bytes; undefined for whatever is none of the three. */
function mediaTypeOf(bytes: Uint8Array): PictureMediaType | undefined {
  if (text(bytes, 0, 3) === '\xff\xd8\xff') return 'image/jpeg';
  if (text(bytes, 0, 8) === '\x89PNG\r\n\x1a\n') return 'image/png';
  if (text(bytes, 0, 4) === 'RIFF' && text(bytes, 8, 4) === 'WEBP') return 'image/webp';
  return undefined;
}

const READERS: Record<PictureMediaType, (bytes: Uint8Array) => Read> = {
  'image/jpeg': readJpeg,
  'image/png': readPng,
  'image/webp': readWebp,
};

/** Frame headers: SOF0 to SOF15 but for DHT, JPG and DAC (T.81 table B.1). */
const isFrame = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
/** Application segments in which cameras and programs write about the picture: Exif and XMP (APP1), IPTC (APP13), comments. */
const TELLING_MARKERS: readonly number[] = [0xe1, 0xed, 0xfe];

function readJpeg(bytes: Uint8Array): Read {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let size: Pick<Picture, 'widthPx' | 'heightPx'> | undefined;
  let tells = false;
  for (let at = 2; at + 4 <= bytes.length;) {
    if (view.getUint8(at) !== 0xff) return 'unreadable';
    const marker = view.getUint8(at + 1);
    if (marker === 0xff) {
      // A fill byte (T.81 B.1.1.2).
      at += 1;
      continue;
    }
    const length = view.getUint16(at + 2);
    tells ||= TELLING_MARKERS.includes(marker);
    if (isFrame(marker) && at + 9 <= bytes.length) {
      size = { heightPx: view.getUint16(at + 5), widthPx: view.getUint16(at + 7) };
    }
    // From the first scan on there are no lengths; the end of the picture is the end of the file.
    if (marker === 0xda) {
      if (view.getUint16(bytes.length - 2) !== 0xffd9) return 'truncated';
      return size === undefined ? 'unreadable' : { ...size, tells };
    }
    at += 2 + length;
  }
  return 'truncated';
}

/** What is said about the picture, in words or as Exif. */
const TELLING_CHUNKS: readonly string[] = ['eXIf', 'tEXt', 'zTXt', 'iTXt'];

function readPng(bytes: Uint8Array): Read {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let size: Pick<Picture, 'widthPx' | 'heightPx'> | undefined;
  let tells = false;
  for (let at = 8; at + 12 <= bytes.length;) {
    const length = view.getUint32(at);
    const kind = text(bytes, at + 4, 4);
    tells ||= TELLING_CHUNKS.includes(kind);
    if (kind === 'IHDR' && at + 16 <= bytes.length) {
      size = { widthPx: view.getUint32(at + 8), heightPx: view.getUint32(at + 12) };
    }
    at += 12 + length;
    if (kind === 'IEND') {
      return size === undefined || at !== bytes.length ? 'unreadable' : { ...size, tells };
    }
  }
  return 'truncated';
}

/** Three bytes, the low one first. */
const uint24 = (view: DataView, at: number): number =>
  view.getUint16(at, true) + view.getUint8(at + 2) * 0x1_0000;

function readWebp(bytes: Uint8Array): Read {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const claimed = view.getUint32(4, true) + 8;
  // A header cut short cannot be told apart from a file cut short.
  if (bytes.length < 30 || claimed > bytes.length) return 'truncated';
  if (claimed < bytes.length) return 'unreadable';
  const tells = webpTells(bytes, view);
  switch (text(bytes, 12, 4)) {
    case 'VP8 ':
      return {
        widthPx: view.getUint16(26, true) & 0x3fff,
        heightPx: view.getUint16(28, true) & 0x3fff,
        tells,
      };
    case 'VP8L': {
      const bits = view.getUint32(21, true);
      return { widthPx: (bits & 0x3fff) + 1, heightPx: ((bits >>> 14) & 0x3fff) + 1, tells };
    }
    case 'VP8X':
      return { widthPx: uint24(view, 24) + 1, heightPx: uint24(view, 27) + 1, tells };
    default:
      return 'unreadable';
  }
}

function webpTells(bytes: Uint8Array, view: DataView): boolean {
  for (let at = 12; at + 8 <= bytes.length;) {
    if (['EXIF', 'XMP '].includes(text(bytes, at, 4))) return true;
    const length = view.getUint32(at + 4, true);
    at += 8 + length + (length % 2);
  }
  return false;
}
