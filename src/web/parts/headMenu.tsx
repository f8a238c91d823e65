/**
 * The head is one line, so that the work has the page: what is wanted now and then stands behind
 * one button, on a phone the pages too. On a wide page the button says who is signed in, and so
 * who would sign.
 */
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { locked } from '../session/device.ts';
import { endedByItself, person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { dark } from './tone.ts';

/** Whether the head shows all that it has. */
export const headOpen = signal(false);

export function HeadMenu() {
  const { head: say } = words.value;
  const [location] = useLocation();
  useEffect(() => {
    headOpen.value = false;
  }, [location]);
  const here = endedByItself.value || locked.value ? null : person.value;
  const called = headOpen.value ? say.close : say.menu;
  return (
    <button
      type="button"
      class="menu"
      aria-expanded={headOpen.value}
      onClick={() => (headOpen.value = !headOpen.value)}
    >
      {here == null ? (
        called
      ) : (
        <>
          <span class="narrow-only">{called}</span>
          <span class="wide-only">{here.printedName}</span>
        </>
      )}
    </button>
  );
}

export function ToneButton() {
  const { head: say } = words.value;
  return (
    <button type="button" onClick={() => (dark.value = !dark.value)}>
      {dark.value ? say.light : say.dark}
    </button>
  );
}
