/** A page of the set-up: its way back, what was just done, and the sheet. */
import type { ComponentChildren } from 'preact';
import { Link } from 'wouter-preact';
import { Done } from '../parts/done.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

export const SETUP = '/setup';

export const AdminSheet = ({
  title,
  back,
  said = '',
  children,
}: {
  readonly title: string;
  /** Where the page was come to from; the contents of the set-up where none is given. */
  readonly back?: readonly [address: string, words: string];
  readonly said?: string;
  readonly children: ComponentChildren;
}) => (
  <Sheet title={title}>
    <p class="way-back">
      <Link class="touch" href={SETUP}>
        {words.value.pages.setup}
      </Link>
      {back !== undefined && (
        <>
          {' › '}
          <Link class="touch" href={back[0]}>
            {back[1]}
          </Link>
        </>
      )}
    </p>
    <Done said={said} />
    {children}
  </Sheet>
);
