/** A form for what an open screen alone may not do: the own password is typed again. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Problem, type Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { TextField } from './fields.tsx';
import { ActForm, type Sending } from './form.tsx';

export function PasswordForm({
  act,
  send,
  children,
}: {
  /** The words of the button. */
  readonly act: string;
  /** @param key the Idempotency-Key of this act */
  readonly send: (body: Schemas['OwnPasswordInput'], key: string) => Promise<unknown>;
  readonly children?: ComponentChildren;
}) {
  const [currentPassword, setCurrent] = useState('');
  const sendOnce = async (key: string): Promise<void> => {
    try {
      await send({ currentPassword }, key);
    } catch (failure) {
      // Where no answer came it stays: sent again with all that was typed, the act is done once.
      if (failure instanceof Problem) setCurrent('');
      throw failure;
    }
    setCurrent('');
  };
  return (
    <ActForm act={act} send={sendOnce}>
      {({ against }) => (
        <>
          {children}
          <PasswordAgain value={currentPassword} against={against} onType={setCurrent} />
        </>
      )}
    </ActForm>
  );
}

/** The own password, typed again. */
export const PasswordAgain = ({
  value,
  against,
  onType,
}: {
  readonly value: string;
  readonly against: Sending['against'];
  readonly onType: (typed: string) => void;
}) => (
  <TextField
    label={words.value.secondFactor.password}
    type="password"
    autocomplete="current-password"
    value={value}
    against={against('/currentPassword')}
    onInput={({ currentTarget }) => onType(currentTarget.value)}
  />
);
