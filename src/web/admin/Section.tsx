/** Fields that belong together, under a heading with its help. */
import type { ComponentChildren } from 'preact';
import { HelpHeading } from '../parts/help.tsx';
import type { FieldSpec } from './values.ts';

export type Sections = readonly {
  readonly title?: string | undefined;
  readonly help?: string | undefined;
  readonly fields: readonly FieldSpec[];
}[];

export const Section = ({
  title,
  text,
  children,
}: {
  readonly title?: string | undefined;
  readonly text?: string | undefined;
  readonly children: ComponentChildren;
}) => (
  <>
    {title !== undefined && <HelpHeading title={title} text={text} />}
    <div class="entry">{children}</div>
  </>
);
