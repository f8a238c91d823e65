/** A drawing that would be too small to read on the phone: there it is drawn larger, in a frame that scrolls. */
import type { ComponentChildren } from 'preact';
import { useNarrow } from './useNarrow.ts';

export function Wide({ words, children }: { words: string; children: ComponentChildren }) {
  // Only what scrolls is a stop of the keyboard.
  return useNarrow() ? (
    <div class="wide" role="group" aria-label={words} tabIndex={0}>
      {children}
    </div>
  ) : (
    <>{children}</>
  );
}
