/**
 * A signature (21 CFR 11.50, 11.200): all that is signed stands above it, with who signs
 * and what it means, and the password is typed for this very act.
 */
import type { ComponentChildren } from 'preact';
import { offline } from '../offline/reach.ts';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { TextField } from './fields.tsx';
import { Facts } from './sheet.tsx';

export function Signing({
  meaning,
  content,
  password,
  onType,
  against,
}: {
  /** What the signature says, as a sentence of the signer. */
  readonly meaning: string;
  readonly content: readonly (readonly [label: string, value: ComponentChildren])[];
  readonly password: string;
  readonly onType: (password: string) => void;
  readonly against: string | undefined;
}) {
  const { signing: say } = words.value;
  return (
    <fieldset class="signing">
      <legend>{say.title}</legend>
      <Facts of={content} />
      <p>
        <strong>{person.value?.printedName}</strong>: {meaning}
      </p>
      {offline.value && (
        <p class="caution" role="status">
          {words.value.offline.signing}
        </p>
      )}
      <TextField
        label={say.password}
        hint={say.hint}
        type="password"
        autocomplete="current-password"
        value={password}
        against={against}
        onInput={({ currentTarget }) => onType(currentTarget.value)}
      />
    </fieldset>
  );
}
