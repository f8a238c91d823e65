import { z } from 'zod';
import { PIN_DIGITS } from '../../domain/benchPin.ts';
import { uuid } from '../../http/fields.ts';

const deviceSecret = () =>
  z
    .string()
    .regex(/^[\w-]{43}$/, '256 random bits in base64url')
    .describe('256 random bits that the device made and keeps (base64url, 43 characters).');
const pin = () => z.string().regex(new RegExp(`^\\d{${PIN_DIGITS}}$`), `${PIN_DIGITS} figures`);

export const SetBenchPin = z
  .strictObject({ pin: pin(), deviceSecret: deviceSecret() })
  .meta({ id: 'SetBenchPin' });

export const BenchPinView = z
  .object({
    clinicId: z.uuid(),
    personId: z.uuid(),
    printedName: z.string(),
    goodUntil: z.date(),
    lockMinutes: z.int().describe('Without a touch for so long the device locks by itself.'),
  })
  .meta({ id: 'BenchPin' });

export const TakeOffBenchPin = z
  .strictObject({ deviceSecret: deviceSecret() })
  .meta({ id: 'TakeOffBenchPin' });

export const SignInByPin = z
  .strictObject({
    clinicId: uuid(),
    personId: uuid(),
    deviceSecret: deviceSecret(),
    pin: pin(),
  })
  .meta({ id: 'SignInByPin' });
