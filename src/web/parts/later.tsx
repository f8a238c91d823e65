/** A page that is fetched when it is turned to, so that the bench does not carry it. */
import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Unreachable } from '../offline/reach.ts';
import { Loading, WentWrong } from './sheet.tsx';

const RELOADED_AS = 'castbook.reloaded';

/**
 * A page that is not there any more belongs to a build that is gone: the client is loaded
 * anew, once. What is typed is kept in the tab.
 * @throws where it is the network that is away, or this build was loaded anew already
 */
async function reloadIfRebuilt(): Promise<void> {
  const now = await (await fetch('/', { cache: 'no-store' })).text();
  const mine = document
    .querySelector<HTMLScriptElement>('script[type=module]')
    ?.getAttribute('src');
  if (mine == null || now.includes(mine) || sessionStorage.getItem(RELOADED_AS) === mine) {
    throw new Error('the page is not there');
  }
  sessionStorage.setItem(RELOADED_AS, mine);
  location.reload();
}

export function later<P extends object>(load: () => Promise<ComponentType<P>>): ComponentType<P> {
  let loaded: ComponentType<P> | undefined;
  return function Later(props: P) {
    const [, setThere] = useState(loaded !== undefined);
    const [failure, setFailure] = useState<unknown>(null);
    const fetchIt = (): void => {
      setFailure(null);
      load().then(
        (page) => {
          loaded = page;
          setThere(true);
        },
        (wrong: unknown) =>
          void reloadIfRebuilt().catch(() => setFailure(new Unreachable(String(wrong)))),
      );
    };
    useEffect(() => {
      if (loaded === undefined) fetchIt();
    }, []);
    if (failure !== null) return <WentWrong failure={failure} retry={fetchIt} />;
    const Page = loaded;
    return Page === undefined ? <Loading /> : <Page {...props} />;
  };
}
