/**
 * A help text beside a field or a heading: behind a button, for those who want it. Closed it
 * takes no room; open it stands under what it explains, and a screen reader comes to it next.
 */
import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import { words } from '../words/words.ts';

/** What is explained (a field, say), with its help. Without a text it is only what it is. */
export function WithHelp({
  about,
  text,
  children,
}: {
  /** What the help is about: the field's label. */
  readonly about: string;
  readonly text: ComponentChildren | undefined;
  readonly children: ComponentChildren;
}) {
  const id = useId();
  const [open, setOpen] = useState(false);
  if (text === undefined) return <>{children}</>;
  return (
    <div class="with-help">
      <div>{children}</div>
      <button
        type="button"
        class="help"
        aria-expanded={open}
        aria-controls={id}
        aria-label={words.value.service.help(about)}
        onClick={() => setOpen(!open)}
      >
        ?
      </button>
      <div id={id} class="help-text" hidden={!open}>
        {text}
      </div>
    </div>
  );
}

/** A heading of a part of the page, with its help. */
export const HelpHeading = ({
  title,
  text,
}: {
  readonly title: string;
  readonly text: ComponentChildren | undefined;
}) => (
  <WithHelp about={title} text={text}>
    <h2>{title}</h2>
  </WithHelp>
);

/** A word of help under what needs it: folded, so that those who know it are not held up. */
export const Help = ({
  of,
  children,
}: {
  /** What it explains, as it is called on the page. */
  readonly of: string;
  readonly children: ComponentChildren;
}) => (
  <details class="help-fold">
    <summary>{words.value.help.about(of)}</summary>
    <p>{children}</p>
  </details>
);
