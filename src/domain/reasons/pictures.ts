import { entry } from './reason.ts';

const AGAIN = 'Take the picture again, or leave it out.';

/** Refusals about pictures that are to be kept with the record. */
export const PICTURE_REASONS = {
  'picture-too-large': entry<{ bytes: number; limitBytes: number }>({
    rule: null,
    kind: 'invalid',
    title: 'A picture is too large',
    words: (f) => `The picture has ${f.bytes} bytes; ${f.limitBytes} are kept at most.`,
    wayOut: () => 'Scale it down before it is sent: 1600 pixels along the longer edge are enough.',
  }),
  'picture-edge-too-long': entry<{ edgePx: number; limitPx: number }>({
    rule: null,
    kind: 'invalid',
    title: 'A picture has too many pixels',
    words: (f) =>
      `The picture's longer edge has ${f.edgePx} pixels; ${f.limitPx} are kept at most.`,
    wayOut: () => 'Scale it down before it is sent: 1600 pixels along the longer edge are enough.',
  }),
  'picture-unreadable': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'Not a picture that can be kept',
    words: () => 'The file is no JPEG, PNG or WebP picture, whatever its name says.',
    wayOut: () => `Pictures are kept as JPEG, PNG or WebP. ${AGAIN}`,
  }),
  'picture-truncated': entry<{ mediaType: string }>({
    rule: null,
    kind: 'invalid',
    title: 'A picture is cut off',
    words: (f) =>
      `The picture (${f.mediaType}) ends before its end: part of it was lost on the way.`,
    wayOut: () => AGAIN,
  }),
  'picture-tells-more': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'A picture tells more than it shows',
    words: () =>
      'The file holds what a camera or a program wrote beside the picture (Exif, XMP, comments), perhaps where it was taken.',
    wayOut: () => 'Send it without; the pages of this service strip it by themselves.',
  }),
};
