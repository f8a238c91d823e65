/** A form for what an open screen alone may not do: the own password is typed again. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { TextField } from './fields.tsx';
import { ActForm } from './form.tsx';

export function PasswordForm({
  act,
  hint,
  send,
  children,
}: {
  /** The words of the button. */
  readonly act: string;
  readonly hint?: string;
  /** @param key the Idempotency-Key of this act */
  readonly send: (body: Schemas['OwnPasswordInput'], key: string) => Promise<unknown>;
  readonly children?: ComponentChildren;
}) {
  const [currentPassword, setCurrent] = useState('');
  const sendOnce = async (key: string): Promise<void> => {
    try {
      await send({ currentPassword }, key);
    } finally {
      // Right or wrong, it stands on no screen afterwards.
      setCurrent('');
    }
  };
  return (
    <ActForm act={act} send={sendOnce}>
      {({ against }) => (
        <>
          {children}
          <TextField
            label={words.value.secondFactor.password}
            {...(hint === undefined ? {} : { hint })}
            type="password"
            autocomplete="current-password"
            value={currentPassword}
            against={against('/currentPassword')}
            onInput={({ currentTarget }) => setCurrent(currentTarget.value)}
          />
        </>
      )}
    </ActForm>
  );
}
