/** A password set by the one-time code that an administrator gave; then one is signed in. */
import { useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { words } from '../words/words.ts';
import { setPasswordByCode, signIn } from './session.ts';

export function CodeForm({
  email,
  onEmail,
}: {
  readonly email: string;
  readonly onEmail: (email: string) => void;
}) {
  const { signIn: say, service } = words.value;
  const [code, setCode] = useState('');
  const [newPassword, setNew] = useState('');
  const [against, setAgainst] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    try {
      setAgainst(
        (await setPasswordByCode(email, code, newPassword)) ??
          // Who has a second factor goes on with it, by the usual form.
          (await signIn({ email, password: newPassword }))?.detail ??
          null,
      );
    } catch {
      setAgainst(service.unreachable);
    } finally {
      setBusy(false);
    }
  };
  return (
    <form noValidate onSubmit={(event) => void submit(event)}>
      <h2>{say.codeTitle}</h2>
      <p>{say.codeSays}</p>
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
        onInput={({ currentTarget }) => onEmail(currentTarget.value)}
      />
      <TextField
        label={say.code}
        hint={say.codeHint}
        autocomplete="one-time-code"
        autocapitalize="characters"
        spellcheck={false}
        value={code}
        onInput={({ currentTarget }) => setCode(currentTarget.value)}
      />
      <TextField
        label={say.newPassword}
        hint={say.passwordRule}
        type="password"
        autocomplete="new-password"
        value={newPassword}
        onInput={({ currentTarget }) => setNew(currentTarget.value)}
      />
      <button class="act" type="submit" disabled={busy}>
        {say.setPassword}
      </button>
    </form>
  );
}
