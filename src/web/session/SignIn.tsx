import { useEffect, useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { actsOfOthers } from '../offline/acts.ts';
import { LanguageChoice } from '../settings/LanguageChoice.tsx';
import { words } from '../words/words.ts';
import { OpenIdButton } from './OpenIdButton.tsx';
import { endedByItself, signIn } from './session.ts';

export function SignIn() {
  const { signIn: say } = words.value;
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [against, setAgainst] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
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
      setAgainst(await signIn(email, password));
    } catch {
      setAgainst(words.value.service.unreachable);
    } finally {
      setBusy(false);
    }
  };
  return (
    <Sheet title={say.title}>
      {actsOfOthers.value > 0 && <p>{words.value.offline.ofOthers(actsOfOthers.value)}</p>}
      {endedByItself.value && <p class="caution">{say.ended}</p>}
      <form noValidate onSubmit={(event) => void submit(event)}>
        {against !== null && (
          <div class="problem" role="alert">
            <strong>{against}</strong>
          </div>
        )}
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
        <button class="act" type="submit" disabled={busy}>
          {say.act}
        </button>
      </form>
      <OpenIdButton />
      <LanguageChoice />
    </Sheet>
  );
}
