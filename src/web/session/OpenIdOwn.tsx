/** One's own account of the organisation: linked and unlinked with the password. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';
import { leaveFor, newSecret } from './openid.ts';

export function OpenIdOwn() {
  const { openid, signIn } = words.value;
  const { own: say } = openid;
  const readAgain = useReadAgain();
  const instant = useInstantWords();
  const [currentPassword, setCurrent] = useState('');
  const [said, setSaid] = useState('');
  const { data } = useQuery({
    queryKey: ['people', 'me', 'openid'],
    queryFn: () => answered(api.GET('/api/v1/me/openid')),
  });
  if (data === undefined || (data.buttonName === null && data.state !== 'linked')) return null;
  const linked = data.state === 'linked';
  const send = async (key: string): Promise<void> => {
    setSaid('');
    const params = { header: once(key) };
    if (linked) {
      await answered(api.POST('/api/v1/me/openid/unlink', { params, body: { currentPassword } }));
      await readAgain();
      setSaid(say.wasUnlinked);
    } else {
      const { browserSecret, browserSha256 } = await newSecret();
      const body = { currentPassword, browserSha256 };
      const { address } = await answered(
        api.POST('/api/v1/me/openid/link/begin', { params, body }),
      );
      leaveFor(address, { purpose: 'link', browserSecret });
    }
    setCurrent('');
  };
  return (
    <section>
      <h2>{say.title}</h2>
      <Done said={said} />
      <p>
        {data.linkedAt !== null
          ? say.linked(instant(data.linkedAt))
          : data.state === 'invited'
            ? say.invited
            : say.none}
      </p>
      <ActForm act={linked ? say.unlink : say.link} send={send}>
        {({ against }) => (
          <TextField
            label={signIn.presentPassword}
            hint={linked ? say.unlinkHint : say.linkHint}
            type="password"
            autocomplete="current-password"
            value={currentPassword}
            against={against('/currentPassword')}
            onInput={({ currentTarget }) => setCurrent(currentTarget.value)}
          />
        )}
      </ActForm>
    </section>
  );
}
