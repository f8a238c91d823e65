import { z } from 'zod';
import { RECOVERY_CODES } from '../../domain/secondFactor.ts';
import { idOf, oneTimeCode, password } from '../../http/fields.ts';

export const SecondFactorView = z
  .object({
    added: z.boolean(),
    addedAt: z.date().nullable(),
    asked: z.boolean().describe('Whether the clinic asks people with your roles for one.'),
    recoveryCodesLeft: z.int().nullable().describe('Null where there is no second factor.'),
  })
  .meta({ id: 'SecondFactor' });

export const SecondFactorBegun = z
  .object({
    keyUri: z.string().describe('What an authenticator app reads from the QR code.'),
    secret: z.string().describe('The same for typing: base 32 (RFC 4648).'),
    qrSvg: z.string().describe('The key URI as a QR code (ISO/IEC 18004), an SVG.'),
    minutes: z.int().describe('So long it waits for its first code.'),
  })
  .meta({ id: 'SecondFactorBegun' });

export const ConfirmSecondFactor = z
  .strictObject({ oneTimeCode: oneTimeCode() })
  .meta({ id: 'ConfirmSecondFactor' });

export const RecoveryCodes = z
  .object({
    recoveryCodes: z
      .array(z.string())
      .length(RECOVERY_CODES)
      .describe('Each signs in once instead of a code of the app. Shown now and never again.'),
  })
  .meta({ id: 'RecoveryCodes' });

export const PasswordAndCode = z
  .strictObject({ currentPassword: password(), oneTimeCode: oneTimeCode() })
  .meta({ id: 'PasswordAndCode' });

export const PersonParams = z.strictObject({ personId: idOf('Person') });
