/** The head on a phone: one line, and all else behind one button, so that the work has the page. */
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { words } from '../words/words.ts';
import { dark } from './tone.ts';

/** Whether the head shows all that it has; a wide page always does. */
export const headOpen = signal(false);

export function HeadMenu() {
  const { head: say } = words.value;
  const [location] = useLocation();
  useEffect(() => {
    headOpen.value = false;
  }, [location]);
  return (
    <>
      <button
        type="button"
        class="menu"
        aria-expanded={headOpen.value}
        onClick={() => (headOpen.value = !headOpen.value)}
      >
        {headOpen.value ? say.close : say.menu}
      </button>
      <button type="button" class="tone" onClick={() => (dark.value = !dark.value)}>
        {dark.value ? say.light : say.dark}
      </button>
    </>
  );
}
