import { z } from 'zod';
import { PAPER_NAMES } from '../../documents/page.ts';
import { instantOut, uuid } from '../../http/fields.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });
export const CastParams = z.strictObject({ castId: uuid() });
export const PlaceParams = z.strictObject({ placeId: uuid() });

export const LabelQuery = z.strictObject({
  copies: z.coerce.number().int().min(1).max(50).default(1).describe('One page for each.'),
});
export const PaperQuery = z.strictObject({
  paper: z.enum(PAPER_NAMES).optional().describe('Left out: the paper of the clinic.'),
});

/** Wide on purpose: a size that no label can have is answered in words by the domain. */
const mm = z.number().min(-10_000).max(10_000).describe('Millimetres.');
const size = z.strictObject({ widthMm: mm, heightMm: mm });
const sizes = {
  socket: size.describe('Of a socket’s label.'),
  model: size.describe('Of a model’s (mould’s) label.'),
  bin: size.describe('Of a bin’s label.'),
  marginMm: mm.describe('Left free all around, millimetres.'),
};

export const LabelSizesToWrite = z
  .strictObject({
    basedOnVersion: z
      .int()
      .min(0)
      .describe('The version that was read and changed; refused where another is in force by now.'),
    ...sizes,
  })
  .meta({ id: 'LabelSizesToWrite' });
export type LabelSizesToWrite = z.output<typeof LabelSizesToWrite>;

export const LabelSizesView = z
  .object({
    ...sizes,
    version: z.int().min(0).describe('0: what every clinic starts with.'),
    createdAt: instantOut().nullable(),
    createdBy: z.string().nullable().describe('Printed name.'),
  })
  .meta({ id: 'LabelSizes' });
export type LabelSizesView = z.input<typeof LabelSizesView>;

export const ScannedSocket = z
  .object({
    number: z.string().describe('The socket’s number, as printed.'),
    order: z.string().describe('Where its order is read, once signed in.'),
  })
  .meta({ id: 'ScannedSocket' });

export const ScannedPlace = z
  .object({ place: z.string().describe('Where what lies there is read, once signed in.') })
  .meta({ id: 'ScannedPlace' });
