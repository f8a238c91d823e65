/** Whether the page is as narrow as a phone's, as the style sheet sees it. */
import { useEffect, useState } from 'preact/hooks';

const NARROW = '(max-width: 40rem)';

export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches);
  useEffect(() => {
    const asked = matchMedia(NARROW);
    const changed = (): void => setNarrow(asked.matches);
    asked.addEventListener('change', changed);
    return () => asked.removeEventListener('change', changed);
  }, []);
  return narrow;
}
