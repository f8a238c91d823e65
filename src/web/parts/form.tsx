/**
 * A form that sends one act. What was typed stays whatever happens; what is wrong
 * stands beside its field, and the focus goes to the first of them. The key is kept
 * until the act is done, so that sending again does it once (R13).
 */
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { Problem } from '../api.ts';
import { wasSent } from '../typed.ts';
import { words } from '../words/words.ts';
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
  /** Fields of this form that said what stands against them. */
  const said = useRef(new Set<string>());
  const [allSaid, setAllSaid] = useState(false);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<unknown>(null);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    setBusy(true);
    setFailure(null);
    try {
      await send(key.current);
      wasSent(form.current);
      key.current = crypto.randomUUID();
    } catch (wrong) {
      // A refused request did nothing: corrected, it is another one.
      if (wrong instanceof Problem) key.current = crypto.randomUUID();
      setFailure(wrong);
      if (wrong instanceof Problem && form.current !== null) wrong.onShown?.();
      requestAnimationFrame(() => focusWrong(form.current));
    } finally {
      setBusy(false);
    }
  };
  useLayoutEffect(() => {
    // After the fields were drawn, and before anybody sees or hears them: what each of them says need not be said above.
    setAllSaid(
      failure instanceof Problem &&
        failure.reasons.length > 0 &&
        failure.reasons.every(({ pointer }) => pointer !== undefined && said.current.has(pointer)),
    );
  }, [failure]);
  const against = (pointer: string): string | undefined => {
    if (!(failure instanceof Problem)) return undefined;
    const inWords = failure.fields.get(pointer);
    if (inWords !== undefined) said.current.add(pointer);
    const missing = failure.reasons.some(
      (reason) => reason.pointer === pointer && reason.code === 'field-missing',
    );
    return missing ? words.value.service.missing : inWords;
  };
  return (
    <form ref={form} noValidate onSubmit={(event) => void submit(event)}>
      {allSaid ? (
        <div class="problem" role="alert">
          <strong>{words.value.service.besideFields}</strong>
        </div>
      ) : (
        <WentWrong failure={failure} />
      )}
      {children({ against, busy })}
      <button class="act" type="submit" disabled={busy}>
        {act}
      </button>
    </form>
  );
}

function focusWrong(form: HTMLFormElement | null): void {
  form?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
}
