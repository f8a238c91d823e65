import { z } from 'zod';
import { text } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { OrderLine } from '../orders/schemas.ts';
import { PatientView } from '../patients/schemas.ts';

export const SearchAsked = z
  .strictObject({
    text: text(100).describe('As typed so far: the beginning is enough.'),
    most: z.int().min(1).max(30).default(10).describe('Patients, and orders by number, at most.'),
  })
  .meta({
    id: 'SearchAsked',
    description: 'Sent as a body, so that no name stands in an address or a log.',
  });
export type SearchAsked = z.output<typeof SearchAsked>;

const by = z.enum(['name', 'chart_number', 'phone', 'order_number', 'patient']);

export const SearchFound = z
  .object({
    items: z.array(
      z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('order'), by, order: OrderLine }),
        z.object({ kind: z.literal('patient'), by, patient: PatientView }),
      ]),
    ),
    notes: z
      .array(ReasonView)
      .describe('Why less was looked for: a mistyped order number, a role that finds by numbers.'),
  })
  .meta({ id: 'SearchFound' });
export type SearchFound = z.input<typeof SearchFound>;
