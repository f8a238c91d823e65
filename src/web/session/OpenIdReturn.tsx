/**
 * Where the organisation sends back to. What came is taken out of the address, shown to the
 * service together with the tab's own secret, and forgotten; or handed to the page that waits
 * for it to sign.
 */
import { useEffect, useState } from 'preact/hooks';
import { Link, useLocation } from 'wouter-preact';
import { answered, api, Problem } from '../api.ts';
import { once } from '../parts/act.ts';
import { Sheet, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { CHANNEL, takeBack, takeLeft, type Back, type Left } from './openid.ts';
import { signInByProvider } from './session.ts';

type State = 'working' | 'over' | 'linked' | 'handed over' | { readonly failure: unknown };

/** Somebody who waits answers at once. */
const NOBODY_WAITS_MS = 2_000;

export function OpenIdReturn() {
  const { openid: say } = words.value;
  const [, go] = useLocation();
  const [state, setState] = useState<State>('working');
  useEffect(() => {
    const left = takeLeft();
    const back = takeBack();
    if (back === null) setState('over');
    else if (left === null) return handOver(back, setState);
    else {
      finish(left, back).then(
        (purpose) => {
          if (purpose === 'link') setState('linked');
          else go('/', { replace: true });
        },
        (failure: unknown) => setState({ failure }),
      );
    }
    return undefined;
  }, []);
  return (
    <Sheet title={say.title}>
      {state === 'working' && <p role="status">{say.returning}</p>}
      {state === 'handed over' && <p role="status">{say.handedOver}</p>}
      {state === 'over' && <p role="alert">{say.over}</p>}
      {state === 'linked' && <p role="status">{say.own.wasLinked}</p>}
      {typeof state === 'object' && <WentWrong failure={state.failure} />}
      {state === 'linked' && (
        <Link class="touch" href="/password">
          {say.own.yourPage}
        </Link>
      )}
      {(state === 'over' || typeof state === 'object') && (
        <Link class="touch" href="/">
          {say.again}
        </Link>
      )}
    </Sheet>
  );
}

async function finish({ purpose, browserSecret }: Left, back: Back): Promise<Left['purpose']> {
  if (purpose === 'sign_in') {
    const refused = await signInByProvider({ back, browserSecret });
    if (refused !== null) throw new Problem(401, refused);
  } else {
    await answered(
      api.POST('/api/v1/me/openid/link', {
        params: { header: once(crypto.randomUUID()) },
        body: { back, browserSecret },
      }),
    );
  }
  return purpose;
}

function handOver(back: Back, setState: (state: State) => void): () => void {
  const channel = new BroadcastChannel(CHANNEL);
  const timer = setTimeout(() => setState('over'), NOBODY_WAITS_MS);
  channel.onmessage = ({ data }: MessageEvent<unknown>) => {
    if ((data as { taken?: unknown }).taken !== back.state) return;
    clearTimeout(timer);
    setState('handed over');
  };
  channel.postMessage({ back });
  return () => {
    clearTimeout(timer);
    channel.close();
  };
}
