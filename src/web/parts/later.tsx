/** A page that is fetched when it is turned to, so that the bench does not carry it. */
import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Loading, WentWrong } from './sheet.tsx';

export function later<P extends object>(load: () => Promise<ComponentType<P>>): ComponentType<P> {
  let loaded: ComponentType<P> | undefined;
  return function Later(props: P) {
    const [, setThere] = useState(loaded !== undefined);
    const [failure, setFailure] = useState<unknown>(null);
    const fetchIt = (): void => {
      setFailure(null);
      load().then((page) => {
        loaded = page;
        setThere(true);
      }, setFailure);
    };
    useEffect(() => {
      if (loaded === undefined) fetchIt();
    }, []);
    if (failure !== null) return <WentWrong failure={failure} retry={fetchIt} />;
    const Page = loaded;
    return Page === undefined ? <Loading /> : <Page {...props} />;
  };
}
