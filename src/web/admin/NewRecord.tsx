/** A record that is entered: what was typed outlives the page until it is in the book. */
import type { ComponentChildren } from 'preact';
import { useKept } from '../desk/kept.ts';
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { Field } from './Field.tsx';
import { Section, type Sections } from './Section.tsx';
import { readTyped, type Typed, type Wire } from './values.ts';

const NOTHING: Typed = {};

export function NewRecord<D>({
  name,
  sectionsOf,
  start = NOTHING,
  act,
  add,
  onDone,
  children,
}: {
  /** What the typing is kept under. */
  readonly name: string;
  /** The fields may hang on what is typed: a lock has others than a screw set. */
  readonly sectionsOf: (typed: Typed) => Sections;
  readonly start?: Typed;
  readonly act: string;
  readonly add: (values: Record<string, Wire>, key: string) => Promise<D>;
  readonly onDone: (added: D) => void;
  readonly children?: (
    typed: Typed,
    against: (pointer: string) => string | undefined,
  ) => ComponentChildren;
}) {
  const readAgain = useReadAgain();
  const [typed, setTyped, forget] = useKept(`admin ${name}`, start);
  const sections = sectionsOf(typed);
  const specs = sections.flatMap(({ fields }) => fields);
  const send = async (key: string): Promise<void> => {
    const added = await add(readTyped(specs, typed), key);
    setTyped(() => start);
    forget();
    onDone(added);
    await readAgain();
  };
  return (
    <ActForm act={act} send={send}>
      {({ against }) => (
        <>
          {sections.map((section) => (
            <Section key={section.title ?? ''} title={section.title} text={section.help}>
              {section.fields.map((spec) => (
                <Field
                  key={spec.key}
                  spec={spec}
                  typed={typed[spec.key] ?? ''}
                  against={against(`/${spec.key}`)}
                  onType={(value) => setTyped((before) => ({ ...before, [spec.key]: value }))}
                />
              ))}
            </Section>
          ))}
          {children?.(typed, against)}
        </>
      )}
    </ActForm>
  );
}
