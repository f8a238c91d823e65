/**
 * The organisation's word in the place of the password of one signature. The page with what is
 * typed stays: the provider is asked in a page of its own, which hands over what came back.
 */
import { useQuery } from '@tanstack/preact-query';
import { useEffect, useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { CHANNEL, newSecret, type Back } from '../session/openid.ts';
import { words } from '../words/words.ts';
import { once } from './act.ts';
import { WentWrong } from './sheet.tsx';

export type OrganisationsWord = NonNullable<Schemas['SignatureGivenInput']['organisation']>;

interface Asked {
  readonly address: string;
  readonly browserSecret: string;
}

export function SignByOrganisation({
  word,
  onWord,
}: {
  readonly word: OrganisationsWord | null;
  readonly onWord: (word: OrganisationsWord) => void;
}) {
  const { sign: say } = words.value.openid;
  const [asked, setAsked] = useState<Asked | null>(null);
  const [failure, setFailure] = useState<unknown>(null);
  const { data } = useQuery({
    queryKey: ['people', 'me', 'openid'],
    queryFn: () => answered(api.GET('/api/v1/me/openid')),
  });
  useEffect(() => {
    if (asked === null) return undefined;
    return whenBack(asked, (back) => {
      setAsked(null);
      prove(back, asked.browserSecret).then(onWord, setFailure);
    });
  }, [asked]);
  if (data?.state !== 'linked' || data.buttonName === null) return null;
  if (word !== null) return <p role="status">{say.confirmed}</p>;
  const prepare = async (): Promise<void> => {
    setFailure(null);
    try {
      const { browserSecret, browserSha256 } = await newSecret();
      const params = { header: once(crypto.randomUUID()) };
      const { address } = await answered(
        api.POST('/api/v1/me/openid/sign/begin', { params, body: { browserSha256 } }),
      );
      setAsked({ address, browserSecret });
    } catch (wrong) {
      setFailure(wrong);
    }
  };
  return (
    <div class="field">
      <span class="label">{say.instead}</span>
      <WentWrong failure={failure} />
      {asked === null ? (
        <button type="button" onClick={() => void prepare()}>
          {say.prepare}
        </button>
      ) : (
        <>
          {/* Without an opener the new page has none of this one's sign-in. */}
          <a class="touch" href={asked.address} target="_blank" rel="noopener noreferrer">
            {say.open}
          </a>
          <p class="hint" role="status">
            {say.waiting}
          </p>
        </>
      )}
    </div>
  );
}

/** Listens for the page that comes back with this very attempt. @returns how to stop */
function whenBack({ address }: Asked, then: (back: Back) => void): () => void {
  const state = new URL(address).searchParams.get('state');
  const channel = new BroadcastChannel(CHANNEL);
  channel.onmessage = ({ data }: MessageEvent<unknown>) => {
    const { back } = data as { back?: Back };
    if (back?.state !== state) return;
    channel.postMessage({ taken: state });
    then(back);
  };
  return () => channel.close();
}

async function prove(back: Back, browserSecret: string): Promise<OrganisationsWord> {
  const params = { header: once(crypto.randomUUID()) };
  const body = { back, browserSecret };
  const { proofId } = await answered(api.POST('/api/v1/me/openid/sign', { params, body }));
  return { proofId, browserSecret };
}
