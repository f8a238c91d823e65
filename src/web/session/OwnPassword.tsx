/** One's own access: the password, changed with the present one, and where one is signed in. */
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Facts, Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { OwnSessions } from './OwnSessions.tsx';
import { SecondFactor } from './SecondFactor.tsx';
import { OpenIdOwn } from './OpenIdOwn.tsx';
import { person } from './session.ts';

export function OwnPassword() {
  const { signIn: say, roles } = words.value;
  const [currentPassword, setCurrent] = useState('');
  const [newPassword, setNew] = useState('');
  const [said, setSaid] = useState('');
  const readAgain = useReadAgain();
  const send = async (key: string): Promise<void> => {
    setSaid('');
    await answered(
      api.POST('/api/v1/me/password', {
        params: { header: once(key) },
        body: { currentPassword, newPassword },
      }),
    );
    setCurrent('');
    setNew('');
    await readAgain();
    setSaid(say.passwordChanged);
  };
  return (
    <Sheet title={say.ownPassword}>
      <Done said={said} />
      <Facts
        of={[
          [say.email, person.value?.email],
          [say.roles, person.value?.roles.map((role) => roles[role]).join(', ')],
        ]}
      />
      <p>{say.ownPasswordSays}</p>
      <ActForm act={say.changePassword} send={send}>
        {({ against }) => (
          <>
            <TextField
              label={say.presentPassword}
              type="password"
              autocomplete="current-password"
              value={currentPassword}
              against={against('/currentPassword')}
              onInput={({ currentTarget }) => setCurrent(currentTarget.value)}
            />
            <TextField
              label={say.newPassword}
              hint={say.passwordRule}
              type="password"
              autocomplete="new-password"
              value={newPassword}
              against={against('/newPassword')}
              onInput={({ currentTarget }) => setNew(currentTarget.value)}
            />
          </>
        )}
      </ActForm>
      <OwnSessions onSaid={setSaid} />
      <SecondFactor />
      <OpenIdOwn />
    </Sheet>
  );
}
