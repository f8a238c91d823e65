/** The PIN of this device: set after a full sign-in, taken off. */
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';
import { deviceSecret, forgetPin, keepPin, pinsThatCount } from './device.ts';
import { person, reachOfSignIn } from './session.ts';

export function BenchPin() {
  const { pin: say } = words.value.secondFactor;
  const instant = useInstantWords();
  const [pin, setPin] = useState('');
  const [said, setSaid] = useState('');
  const mine = pinsThatCount().find(({ personId }) => personId === person.value?.id);
  const set = async (key: string): Promise<void> => {
    setSaid('');
    const body = { pin, deviceSecret: deviceSecret() };
    try {
      keepPin(
        await answered(api.POST('/api/v1/me/bench-pin', { params: { header: once(key) }, body })),
      );
    } finally {
      setPin('');
    }
  };
  const takeOff = async (key: string): Promise<void> => {
    const body = { deviceSecret: deviceSecret() };
    await answered(
      api.POST('/api/v1/me/bench-pin/removal', { params: { header: once(key) }, body }),
    );
    if (mine !== undefined) forgetPin(mine.personId);
    setSaid(say.takenOff);
  };
  return (
    <details class="bench-pin">
      <summary>{say.title}</summary>
      <Done said={said} />
      <p>{say.says}</p>
      {mine !== undefined && <p>{say.isSet(instant(mine.goodUntil))}</p>}
      {reachOfSignIn.value === 'bench' ? (
        <p>{say.byPin}</p>
      ) : (
        <ActForm act={say.set} send={set}>
          {({ against }) => (
            <TextField
              label={say.pin}
              hint={say.pinHint}
              type="password"
              inputMode="numeric"
              autocomplete="off"
              maxLength={6}
              value={pin}
              against={against('/pin')}
              onInput={({ currentTarget }) => setPin(currentTarget.value)}
            />
          )}
        </ActForm>
      )}
      {mine !== undefined && (
        <ActForm act={say.takeOff} send={takeOff}>
          {() => null}
        </ActForm>
      )}
    </details>
  );
}
