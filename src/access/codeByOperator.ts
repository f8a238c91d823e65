/**
 * The way back in for an administrator whom nobody of the clinic can help: the only one, with a
 * lost password, or a lost phone and no recovery code. Whoever runs the service gives the code,
 * after seeing to it who asks; the record says so, and why.
 */
import { giveCode } from '../store/accessCodes.ts';
import { inClinic } from '../store/act.ts';
import { writeEvents } from '../store/events.ts';
import type { Store } from '../store/open.ts';
import { lockPerson, personById, setPassword } from '../store/people.ts';
import { endSecondFactor } from '../store/secondFactors.ts';
import { endSessions, type Ending } from '../store/sessions.ts';
import { enterClinicOf, NOBODY } from '../store/signIns.ts';

export type OperatorsCode =
  | { readonly given: false; readonly because: 'nobody' | 'left' | 'no-administrator' }
  | {
      readonly given: true;
      readonly printedName: string;
      readonly expiresAt: Date;
      /** False where none had been set. */
      readonly passwordEnded: boolean;
      readonly signedOut: number;
      readonly secondFactorEnded: boolean;
    };

/**
 * Ends an administrator's password, second factor and every sign-in, and keeps the new code.
 * Everybody else is helped by an administrator: nothing is done for them here.
 * @param why what is written into the record beside it
 */
export const codeByOperator = (
  store: Store,
  { email, why, codeHash }: { email: string; why: string; codeHash: string },
  at: Date,
): Promise<OperatorsCode> =>
  inClinic(store, NOBODY, async (tx): Promise<OperatorsCode> => {
    const { clinicId, personId } = await enterClinicOf(tx, email);
    await lockPerson(tx, clinicId, personId);
    const person = await personById(tx, clinicId, personId);
    if (person === undefined) return { given: false, because: 'nobody' };
    if (!person.active) return { given: false, because: 'left' };
    if (!person.roles.includes('administrator')) {
      return { given: false, because: 'no-administrator' };
    }
    const byNobody: Ending = { clinicId, at, byId: null };
    const passwordEnded = person.passwordSet;
    const purpose = passwordEnded ? 'reset' : 'invitation';
    if (passwordEnded) await setPassword({ tx, clinicId }, personId, null);
    const secondFactorEnded = (await endSecondFactor(tx, personId, byNobody, 'reset')) > 0;
    const signedOut = (await endSessions(tx, personId, byNobody)).length;
    const code = { clinicId, personId, purpose, codeHash, at, givenById: null } as const;
    const expiresAt = await giveCode(tx, code);
    await writeEvents(tx, { clinicId, personId: null, at }, [
      {
        kind: 'person.code_given_by_operator',
        subjectKind: 'person',
        subjectId: personId,
        data: {
          expiresAt: expiresAt.toISOString(),
          passwordEnded,
          signedOut,
          secondFactorEnded,
          why,
        },
      },
    ]);
    return {
      given: true,
      printedName: person.printedName,
      expiresAt,
      passwordEnded,
      signedOut,
      secondFactorEnded,
    };
  });
