/** Changing the key that signs a clinic's heads (R11): the old one signs the new one in, unless it is lost. */
import { inClinic } from '../../store/act.ts';
import { writeEvents } from '../../store/events.ts';
import type { Store } from '../../store/open.ts';
import { holdSigning, signingKeys } from '../../store/signedHeads.ts';
import type { HeadSigner } from './signer.ts';
import { introduceKey } from './signing.ts';

export type Rotated =
  | 'rotated'
  | 'lost'
  /** No head was signed yet: the service brings its first key in itself. */
  | 'no key yet'
  | 'new already'
  /** The newest key is not the one given as the old: nothing is done. */
  | 'not the newest';

interface Rotation {
  readonly at: Date;
  /** Null: it is lost, and signs nothing. */
  readonly old: HeadSigner | null;
  readonly young: HeadSigner;
}

/** Brings a new key into a clinic's record, with its event. */
export const rotateKey = (
  store: Store,
  clinicId: string,
  { at, old, young }: Rotation,
): Promise<Rotated> =>
  inClinic(store, clinicId, async (tx) => {
    await holdSigning(tx, clinicId);
    const keys = await signingKeys(tx, clinicId);
    const key = keys.at(-1);
    if (key === undefined) return 'no key yet';
    if (key.statement.keyId === young.keyId) return 'new already';
    if (old !== null && key.statement.keyId !== old.keyId) return 'not the newest';
    const entry = old === null ? 'lost' : 'rotation';
    const before = { key, signer: old };
    const event = await introduceKey(tx, { clinicId, at, signer: young, entry, before });
    await writeEvents(tx, { clinicId, personId: null, at }, [event]);
    return old === null ? 'lost' : 'rotated';
  });
