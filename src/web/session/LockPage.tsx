/** A locked bench device: who are you, and your PIN; or a full sign-in. */
import { useState } from 'preact/hooks';
import { actsOfOthers } from '../offline/acts.ts';
import { offline } from '../offline/reach.ts';
import { TextField } from '../parts/fields.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { pinsThatCount, type DevicePin } from './device.ts';
import { unlock } from './session.ts';
import { SignIn } from './SignIn.tsx';

export function LockPage() {
  const { lock: say } = words.value.secondFactor;
  const pins = pinsThatCount();
  const [withPassword, setWithPassword] = useState(false);
  const [who, setWho] = useState<DevicePin | undefined>(pins.length === 1 ? pins[0] : undefined);
  if (withPassword || pins.length === 0) {
    return (
      <SignIn
        beside={
          pins.length > 0 && (
            <p>
              <button type="button" onClick={() => setWithPassword(false)}>
                {say.withPin}
              </button>
            </p>
          )
        }
      />
    );
  }
  // A PIN that has ended meanwhile is no longer in the list.
  const chosen = pins.find(({ personId }) => personId === who?.personId);
  return (
    <Sheet title={say.title}>
      <p>{say.says}</p>
      {actsOfOthers.value > 0 && <p>{words.value.offline.ofOthers(actsOfOthers.value)}</p>}
      {offline.value && (
        <p class="caution" role="status">
          {say.offline}
        </p>
      )}
      <fieldset>
        <legend>{say.who}</legend>
        <div class="choices">
          {pins.map((pin) => (
            <label key={pin.personId}>
              <input
                type="radio"
                name="who"
                checked={pin.personId === chosen?.personId}
                onChange={() => setWho(pin)}
              />
              {pin.printedName}
            </label>
          ))}
        </div>
      </fieldset>
      {chosen !== undefined && <Unlock key={chosen.personId} of={chosen} />}
      <p>
        <button type="button" onClick={() => setWithPassword(true)}>
          {say.withPassword}
        </button>
      </p>
    </Sheet>
  );
}

function Unlock({ of }: { readonly of: DevicePin }) {
  const { lock: say } = words.value.secondFactor;
  const [pin, setPin] = useState('');
  const [against, setAgainst] = useState<string>();
  const [busy, setBusy] = useState(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    setBusy(true);
    try {
      setAgainst((await unlock(of, pin))?.detail);
    } catch {
      setAgainst(say.offline);
    } finally {
      setPin('');
      setBusy(false);
    }
  };
  return (
    <form noValidate onSubmit={(event) => void submit(event)}>
      {against !== undefined && (
        <div class="problem" role="alert">
          <strong>{against}</strong>
        </div>
      )}
      <TextField
        label={say.pin}
        type="password"
        inputMode="numeric"
        autocomplete="off"
        maxLength={6}
        value={pin}
        onInput={({ currentTarget }) => setPin(currentTarget.value)}
      />
      <button class="act" type="submit" disabled={busy}>
        {say.unlock}
      </button>
    </form>
  );
}
