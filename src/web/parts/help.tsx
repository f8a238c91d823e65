/** A word of help beside what needs it: folded, so that those who know it are not held up. */
import type { ComponentChildren } from 'preact';
import { words } from '../words/words.ts';

export const Help = ({
  of,
  children,
}: {
  /** What it explains, as it is called on the page. */
  readonly of: string;
  readonly children: ComponentChildren;
}) => (
  <details class="help">
    <summary>{words.value.help.about(of)}</summary>
    <p>{children}</p>
  </details>
);
