/**
 * A record that is changed from the version that was read. Of two who change it at once, the
 * second is told: what the first wrote stands beside what she typed, and her text stays.
 */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Problem } from '../api.ts';
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import { Field } from './Field.tsx';
import { Section, type Sections } from './Section.tsx';
import { readTyped, shownOf, typedOf, type FieldSpec, type Typed, type Wire } from './values.ts';

/** A record with the version that a change is made from. */
export type Versioned = object & { readonly version: number };
const valueOf = (record: object, key: string): unknown => (record as Record<string, unknown>)[key];

interface Begun<R> {
  /** The record as it was read when the typing began. */
  readonly base: R | undefined;
  readonly typed: Typed;
  /** What another wrote meanwhile. */
  readonly others: readonly { readonly spec: FieldSpec; readonly was: unknown }[];
}

export function RecordForm<R extends Versioned>({
  record,
  sections,
  act,
  change,
  readNow,
  onSaid,
  children,
}: {
  readonly record: R;
  readonly sections: Sections;
  readonly act: string;
  /** @param version for If-Match; @param changed only what differs from the record as it was read */
  readonly change: (changed: Record<string, Wire>, version: number) => Promise<unknown>;
  readonly readNow: () => Promise<R>;
  /** What is to be said of it at the head of the page. */
  readonly onSaid: (said: string) => void;
  readonly children?: ComponentChildren;
}) {
  const { admin: say } = words.value;
  const readAgain = useReadAgain();
  const [{ base, typed, others }, setBegun] = useState<Begun<R>>({
    base: undefined,
    typed: {},
    others: [],
  });
  const from = base ?? record;
  const specs = sections.flatMap(({ fields }) => fields);
  const typedIn = (spec: FieldSpec): string =>
    typed[spec.key] ?? typedOf(spec, valueOf(from, spec.key));
  const touched = specs.filter((spec) => typedIn(spec) !== typedOf(spec, valueOf(from, spec.key)));
  const send = async (): Promise<void> => {
    onSaid('');
    if (touched.length === 0) {
      onSaid(say.nothingTouched);
      return;
    }
    const changed = readTyped(
      touched,
      Object.fromEntries(touched.map((spec) => [spec.key, typedIn(spec)])),
    );
    try {
      await change(changed, from.version);
    } catch (failure) {
      if (failure instanceof Problem && failure.code === 'version-is-stale') {
        const now = await readNow();
        const differs = (spec: FieldSpec): boolean =>
          typedOf(spec, valueOf(now, spec.key)) !== typedOf(spec, valueOf(from, spec.key));
        setBegun({
          base: now,
          typed,
          others: specs.filter(differs).map((spec) => ({ spec, was: valueOf(from, spec.key) })),
        });
      }
      throw failure;
    }
    setBegun({ base: undefined, typed: {}, others: [] });
    await readAgain();
    onSaid(say.saved(touched.map(({ label }) => label).join(', ')));
  };
  /** Where both changed a field, the other's value stands beside hers. */
  const besideOf = (spec: FieldSpec): string | undefined =>
    others.some((other) => other.spec.key === spec.key) && touched.includes(spec)
      ? say.inTheBook(shownOf(spec, valueOf(from, spec.key)))
      : undefined;
  return (
    <ActForm act={act} send={send}>
      {({ against }) => (
        <>
          {others.length > 0 && (
            <div class="problem">
              <strong>{say.raced}</strong>
              <ul>
                {others.map(({ spec, was }) => (
                  <li key={spec.key}>
                    {say.wrote(
                      spec.label,
                      shownOf(spec, was),
                      shownOf(spec, valueOf(from, spec.key)),
                    )}
                  </li>
                ))}
              </ul>
              <p>{say.racedWayOut}</p>
            </div>
          )}
          {sections.map((section) => (
            <Section key={section.title ?? ''} title={section.title} text={section.help}>
              {section.fields.map((spec) => (
                <Field
                  key={spec.key}
                  spec={spec}
                  typed={typedIn(spec)}
                  against={against(`/${spec.key}`) ?? besideOf(spec)}
                  onType={(value) =>
                    setBegun((before) => ({
                      base: before.base ?? record,
                      typed: { ...before.typed, [spec.key]: value },
                      others: before.others,
                    }))
                  }
                />
              ))}
            </Section>
          ))}
          {children}
        </>
      )}
    </ActForm>
  );
}
