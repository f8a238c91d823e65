import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { actsOfOthers } from '../offline/acts.ts';
import { LanguageChoice } from '../settings/LanguageChoice.tsx';
import { words } from '../words/words.ts';
import { CodeForm } from './CodeForm.tsx';
import { OpenIdButton } from './OpenIdButton.tsx';
import { endedByItself, signIn } from './session.ts';

export function SignIn({ beside }: { readonly beside?: ComponentChildren }) {
  const { signIn: say, secondFactor } = words.value;
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  /** Typed in the second step; undefined before it. */
  const [oneTimeCode, setCode] = useState<string>();
  const [against, setAgainst] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [withCode, setWithCode] = useState(false);
  // The page behind keeps its title, as it keeps all else.
  const [titleBehind] = useState(() => document.title);
  useEffect(
    () => () => {
      document.title = titleBehind;
    },
    [],
  );
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    try {
      const given = { email, password, ...(oneTimeCode === undefined ? {} : { oneTimeCode }) };
      const refused = await signIn(given);
      if (refused?.code === 'second-factor-asked') {
        setCode('');
        setAgainst(null);
      } else setAgainst(refused?.detail ?? null);
      // Whether it was the password or the name is not to be told from a code that was asked.
      if (refused?.code === 'sign-in-failed') setCode(undefined);
    } catch {
      setAgainst(words.value.service.unreachable);
    } finally {
      setBusy(false);
    }
  };
  return (
    <Sheet title={oneTimeCode === undefined ? say.title : secondFactor.secondStep}>
      {actsOfOthers.value > 0 && <p>{words.value.offline.ofOthers(actsOfOthers.value)}</p>}
      {endedByItself.value && <p class="caution">{say.ended}</p>}
      {withCode ? (
        <CodeForm email={email} onEmail={setEmail} />
      ) : (
        <form noValidate onSubmit={(event) => void submit(event)}>
          {against !== null && (
            <div class="problem" role="alert">
              <strong>{against}</strong>
            </div>
          )}
          {oneTimeCode === undefined ? (
            <>
              <TextField
                label={say.email}
                type="email"
                autocomplete="username"
                value={email}
                onInput={({ currentTarget }) => setEmail(currentTarget.value)}
              />
              <TextField
                label={say.password}
                type="password"
                autocomplete="current-password"
                value={password}
                onInput={({ currentTarget }) => setPassword(currentTarget.value)}
              />
            </>
          ) : (
            <TextField
              label={secondFactor.secondStepCode}
              hint={secondFactor.secondStepHint}
              autocomplete="one-time-code"
              autofocus
              value={oneTimeCode}
              onInput={({ currentTarget }) => setCode(currentTarget.value)}
            />
          )}
          <button class="act" type="submit" disabled={busy}>
            {say.act}
          </button>
        </form>
      )}
      {oneTimeCode !== undefined && (
        <p>
          <button
            type="button"
            onClick={() => {
              setCode(undefined);
              setPassword('');
              setAgainst(null);
            }}
          >
            {secondFactor.otherName}
          </button>
        </p>
      )}
      {beside}
      {oneTimeCode === undefined && !withCode && <OpenIdButton />}
      {oneTimeCode === undefined && (
        <p>
          <button type="button" onClick={() => setWithCode(!withCode)}>
            {withCode ? say.haveNoCode : say.haveCode}
          </button>
        </p>
      )}
      <LanguageChoice />
    </Sheet>
  );
}
