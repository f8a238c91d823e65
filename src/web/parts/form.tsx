/**
 * A form that sends one act. What was typed stays whatever happens; what is wrong
 * stands beside its field, and the focus goes to the first of them. The key is kept
 * until the act is done, so that sending again does it once (R13).
 */
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { Problem } from '../api.ts';
import { WentWrong } from './sheet.tsx';

export interface Sending {
  /** The words against a field, by its JSON Pointer. */
  readonly against: (pointer: string) => string | undefined;
  readonly busy: boolean;
}

export function ActForm({
  act,
  send,
  children,
}: {
  /** The words of the button. */
  readonly act: string;
  /** @param key the Idempotency-Key of this act */
  readonly send: (key: string) => Promise<unknown>;
  readonly children: (sending: Sending) => ComponentChildren;
}) {
  const form = useRef<HTMLFormElement>(null);
  const key = useRef(crypto.randomUUID());
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<unknown>(null);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    setBusy(true);
    setFailure(null);
    try {
      await send(key.current);
      key.current = crypto.randomUUID();
    } catch (wrong) {
      // A refused request did nothing: corrected, it is another one.
      if (wrong instanceof Problem) key.current = crypto.randomUUID();
      setFailure(wrong);
      requestAnimationFrame(() => focusWrong(form.current));
    } finally {
      setBusy(false);
    }
  };
  const fields = failure instanceof Problem ? failure.fields : new Map<string, string>();
  return (
    <form ref={form} noValidate onSubmit={(event) => void submit(event)}>
      <WentWrong failure={failure} />
      {children({ against: (pointer) => fields.get(pointer), busy })}
      <button class="act" type="submit" disabled={busy}>
        {act}
      </button>
    </form>
  );
}

function focusWrong(form: HTMLFormElement | null): void {
  form?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
}
