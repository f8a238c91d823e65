/** The codes of a second factor, checked and used up: each counts once, of the app and for recovery. */
import { createHash, randomBytes } from 'node:crypto';
import {
  RECOVERY_CODES,
  readCode,
  readRecoveryCode,
  recoveryCode,
} from '../domain/secondFactor.ts';
import type { Tx } from '../store/act.ts';
import { writeEvents } from '../store/events.ts';
import {
  recoveryCodesLeft,
  takeRecoveryCode,
  takeStep,
  type SecondFactorRow,
} from '../store/secondFactors.ts';
import { stepOfCode } from './totp.ts';

/** Whose code it is to be. */
export interface CodeOf {
  readonly clinicId: string;
  readonly personId: string;
}

/** The step of a typed code of an app; undefined where it is none that counts. Takes nothing yet. */
export function stepTyped(factor: SecondFactorRow, typed: string, at: Date): number | undefined {
  const code = readCode(typed);
  return code === undefined ? undefined : stepOfCode(factor.secret, code, at, factor.lastStep);
}

/**
 * Whether what was typed is a code of this person that counts now; it is used up then, and
 * a recovery code is noted.
 */
export async function takeCode(
  tx: Tx,
  of: CodeOf,
  factor: SecondFactorRow,
  typed: string,
  at: Date,
): Promise<boolean> {
  const { clinicId, personId } = of;
  const step = stepTyped(factor, typed, at);
  if (step !== undefined) return (await takeStep(tx, clinicId, factor.id, step)) > 0;
  const recovery = readRecoveryCode(typed);
  if (recovery === undefined) return false;
  const taken = await takeRecoveryCode(tx, clinicId, factor.id, codeSha256(recovery), at);
  if (taken === 0) return false;
  const left = await recoveryCodesLeft(tx, clinicId, factor.id);
  await writeEvents(tx, { clinicId, personId, at }, [
    {
      kind: 'person.recovery_code_used',
      subjectKind: 'person',
      subjectId: personId,
      data: { left },
    },
  ]);
  return true;
}

/** Fresh recovery codes, to be shown once; only their hashes are kept. */
export const newRecoveryCodes = (): string[] =>
  Array.from({ length: RECOVERY_CODES }, () => recoveryCode(randomBytes(25)));

/** Enough for 125 random bits: there is nothing to guess. */
export const codeSha256 = (code: string): string =>
  createHash('sha256').update(code, 'utf8').digest('hex');
