/** Who looked a patient up, on the wire. */
import { z } from 'zod';
import { LOOK_UP_ROUTES, SHOWN } from '../../domain/lookingUp.ts';
import { idOf, instantOut, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

export const LooksParams = z.strictObject({ patientId: idOf('Patient') });
export const LooksQuery = z.strictObject({ ...pageQuery });
export type LooksQuery = z.output<typeof LooksQuery>;

export const PatientLook = z
  .object({
    id: uuid(),
    at: instantOut(),
    by: z.object({ id: uuid(), printedName: z.string() }),
    route: z.enum(LOOK_UP_ROUTES).describe('`operationId` of the route that showed it.'),
    from: z.string().describe('The same in words.'),
    shown: z
      .enum(SHOWN)
      .describe(
        'The most that was shown: what the bench knows, who it is, how to reach the person.',
      ),
    order: z.object({ id: uuid(), number: z.string() }).nullable(),
  })
  .meta({ id: 'PatientLook' });
export type PatientLook = z.input<typeof PatientLook>;
export const PatientLooks = pageOf(PatientLook)
  .extend({ patient: z.object({ id: uuid(), chartNumber: z.string() }) })
  .meta({ id: 'PatientLooks' });
export type PatientLooks = z.input<typeof PatientLooks>;
