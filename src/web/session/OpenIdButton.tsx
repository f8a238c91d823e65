/** The organisation's button, where the page was come to by a clinic's sign-in link. */
import { useEffect, useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { clinicOfLink, keepLink, leaveFor, newSecret } from './openid.ts';
import { endedByItself } from './session.ts';

export function OpenIdButton() {
  const { openid: say } = words.value;
  const [prefix] = useState(clinicOfLink);
  const [name, setName] = useState<string | null>(null);
  const [failure, setFailure] = useState<unknown>(null);
  useEffect(() => {
    if (prefix === null) return;
    void readButton(prefix).then((found) => {
      if (found !== null) keepLink(prefix);
      setName(found);
    });
  }, [prefix]);
  if (prefix === null || name === null) return null;
  const begin = async (): Promise<void> => {
    setFailure(null);
    try {
      const { browserSecret, browserSha256 } = await newSecret();
      const { address } = await answered(
        api.POST('/api/v1/sign-in/openid/begin', { body: { prefix, browserSha256 } }),
      );
      leaveFor(address, { purpose: 'sign_in', browserSecret });
    } catch (wrong) {
      setFailure(wrong);
    }
  };
  return (
    <section aria-label={say.title}>
      <p class="hint">{say.or}</p>
      <WentWrong failure={failure} />
      <button type="button" class="act" onClick={() => void begin()}>
        {name}
      </button>
      {endedByItself.value && <p class="hint">{say.leavesPage}</p>}
    </section>
  );
}

/** Null where the clinic has none; without the service there is the password to try. */
const readButton = (prefix: string): Promise<string | null> =>
  answered(api.GET('/api/v1/sign-in/openid/{prefix}', { params: { path: { prefix } } })).then(
    ({ buttonName }) => buttonName,
    () => null,
  );
