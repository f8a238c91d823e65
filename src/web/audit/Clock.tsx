/** How long the question is under way; it says nothing aloud while it runs. */
import { useEffect, useState } from 'preact/hooks';
import { steady } from '../words/figures.ts';

export function Clock({ since }: { since: number }) {
  const [now, setNow] = useState(() => performance.now());
  useEffect(() => {
    const ticking = setInterval(() => setNow(performance.now()), 100);
    return () => clearInterval(ticking);
  }, []);
  return (
    <p class="drill-clock" aria-hidden="true">
      {steady((now - since) / 1000, 1)} s
    </p>
  );
}
