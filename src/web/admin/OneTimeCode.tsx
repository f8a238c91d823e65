/** A one-time code, shown this once: to be copied, printed or read out. */
import { useState } from 'preact/hooks';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';

export interface ShownCode {
  readonly name: string;
  readonly email: string;
  /** Null where it was shown before, and the answer was lost. */
  readonly code: string | null;
  readonly expiresAt: string | null;
}

export function OneTimeCode({
  shown: { name, email, code, expiresAt },
  onDone,
}: {
  readonly shown: ShownCode;
  readonly onDone: () => void;
}) {
  const { admin, signIn } = words.value;
  const { code: say } = admin.people;
  const instantWords = useInstantWords();
  const [copied, setCopied] = useState('');
  const copy = (text: string): void => {
    navigator.clipboard.writeText(text).then(
      () => setCopied(say.copied),
      () => setCopied(say.notCopied),
    );
  };
  return (
    <section class="code-slip" aria-label={say.title(name)}>
      <h2>{say.title(name)}</h2>
      {code === null ? (
        <p class="caution">{say.gone}</p>
      ) : (
        <>
          <p class="code-shown">
            <code>{code}</code>
          </p>
          <p class="unprinted caution">{say.once}</p>
          {expiresAt !== null && <p>{say.until(instantWords(expiresAt))}</p>}
          <p>{say.how}</p>
          <p>
            {signIn.email}: <strong>{email}</strong>
          </p>
          <p>
            <button type="button" onClick={() => copy(code)}>
              {say.copy}
            </button>{' '}
            <button type="button" onClick={() => print()}>
              {say.print}
            </button>{' '}
            <span role="status">{copied}</span>
          </p>
        </>
      )}
      <button type="button" onClick={onDone}>
        {say.done}
      </button>
    </section>
  );
}
