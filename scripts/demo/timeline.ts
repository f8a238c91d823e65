/**
 * Many stories told at once, in the order of the clinic's clock: each story says when its
 * next act is, and the earliest of all goes first. So order numbers, custody and the chain
 * of events come out as they would have in life.
 */
import { setImmediate as turn } from 'node:timers/promises';
import { beginSession, reauthenticate, type Reauthenticated } from '../../src/access/signIn.ts';
import type { SignedIn } from '../../src/access/tokens.ts';
import { signOut } from '../../src/features/people/service.ts';
import type { Signer } from '../../src/access/signatures.ts';
import { perform, type Act, type Caller } from '../../src/store/act.ts';
import type { Store } from '../../src/store/open.ts';

interface Step {
  readonly at: Date;
  readonly run: (teller: Teller) => Promise<unknown>;
}

/** Yields its acts and is given what each returned. */
export type Story<T = void> = Generator<Step, T, unknown>;

/** One act of one person: a transaction of the application's own services. */
export function* act<T>(at: Date, by: Caller, work: (act: Act) => Promise<T>): Story<T> {
  // The timeline hands back what `run` gave; a generator's type cannot say so.
  return (yield { at, run: ({ store }) => perform(store, by, at, work) }) as T;
}

/** As `act`, signed, in a sign-in of the person's own: the password is checked first. */
export function* signedAct<T>(
  at: Date,
  by: Caller,
  work: (act: Act, signer: Signer) => Promise<T>,
): Story<T> {
  return (yield {
    at,
    run: async ({ store, signedIn }) => {
      const { proven, caller } = await signedIn(by, at);
      // In a story nothing changes between the reading and the signing.
      const signer = { proven, saw: () => true };
      return perform(store, caller, at, (opened) => work(opened, signer));
    },
  }) as T;
}

interface Teller {
  readonly store: Store;
  signedIn(by: Caller, at: Date): Promise<SignerSignedIn>;
}

interface SignerSignedIn {
  readonly proven: Reauthenticated;
  readonly caller: SignedIn;
}

/** The computer in the prosthetists' room. */
const DEVICE = 'computer Windows Firefox';

export interface Telling {
  readonly now: Date;
  /** Of all who sign. */
  readonly password: string;
  /** Told after each act: how many are done, and the moment of the clinic's two years it was at. */
  readonly told?: ((acts: number, at: Date) => void) | undefined;
  /** No further act is begun once it is aborted. */
  readonly signal?: AbortSignal | undefined;
}

/**
 * Tells all stories up to `now`; what a story would have done later is left untold.
 * @throws the signal's reason where it is aborted
 */
export async function tell(
  store: Store,
  stories: readonly Story[],
  { now, password, told: onTold, signal }: Telling,
): Promise<{ acts: number }> {
  const signers = new Map<string, Promise<SignerSignedIn>>();
  const signIn = async (by: Caller, at: Date): Promise<SignerSignedIn> => {
    const proven = await reauthenticate(store, by, password, at);
    const { clinicId, personId } = by;
    const proof = {
      clinicId,
      personId,
      how: 'password',
      stillHolds: () => Promise.resolve(true),
    } as const;
    const { caller } = await beginSession(store, proof, DEVICE, at);
    return { proven, caller };
  };
  const teller: Teller = {
    store,
    // Once for each signer, not for each signature: the hash is slow on purpose, and to this
    // process the two years are one sitting.
    signedIn: (by, at) => {
      const known = signers.get(by.personId) ?? signIn(by, at);
      signers.set(by.personId, known);
      return known;
    },
  };
  const waiting = stories.flatMap((story, order) => {
    const first = story.next();
    return first.done === true ? [] : [{ story, order, step: first.value }];
  });
  let acts = 0;
  let last = now;
  const leave = async (): Promise<{ acts: number }> => {
    for (const { caller } of await Promise.all(signers.values())) {
      await perform(store, caller, last, (opened) => signOut(opened, caller.familyId));
    }
    return { acts };
  };
  for (;;) {
    let next = waiting[0];
    for (const other of waiting) {
      if (next === undefined || isEarlier(other, next)) next = other;
    }
    if (next === undefined || next.step.at > now) return leave();
    // The embedded database answers within the same turn: without one, no signal would be heard.
    await turn();
    signal?.throwIfAborted();
    const { at } = next.step;
    const told = next.story.next(await next.step.run(teller));
    acts += 1;
    last = at;
    onTold?.(acts, at);
    if (told.done === true) waiting.splice(waiting.indexOf(next), 1);
    else next.step = told.value;
  }
}

interface Waiting {
  readonly order: number;
  readonly step: Step;
}
const isEarlier = (a: Waiting, b: Waiting): boolean =>
  a.step.at.getTime() - b.step.at.getTime() < 0 ||
  (a.step.at.getTime() === b.step.at.getTime() && a.order < b.order);
