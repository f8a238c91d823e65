/**
 * A record that is changed from the version that was read. Of two who change it at once, the
 * second is told: what the first wrote stands beside what she typed, and her text stays.
 */
import type { ComponentChildren } from 'preact';
import { Problem } from '../api.ts';
import { useKept } from '../desk/kept.ts';
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import { Field } from './Field.tsx';
import { PutBack } from './PutBack.tsx';
import { Section, type Sections } from './Section.tsx';
import {
  racedBy,
  readTyped,
  shownOf,
  typedOf,
  type FieldSpec,
  type Typed,
  type Wire,
} from './values.ts';

/** A record with the version that a change is made from. */
export type Versioned = object & { readonly id: string; readonly version: number };
const valueOf = (record: object, key: string): unknown => (record as Record<string, unknown>)[key];

interface Begun<R> {
  /** The record as it was read when the typing began. */
  readonly base: R | undefined;
  readonly typed: Typed;
  /** What another changed meanwhile. */
  readonly others: readonly FieldSpec[];
}

export function RecordForm<R extends Versioned>({
  record,
  sectionsOf,
  act,
  change,
  readNow,
  onSaid,
  children,
}: {
  readonly record: R;
  /** The fields may hang on what is typed: an amount on its currency. */
  readonly sectionsOf: (typed: Typed) => Sections;
  readonly act: string;
  /** @param version for If-Match; @param changed only what differs from the record as it was read */
  readonly change: (changed: Record<string, Wire>, version: number) => Promise<unknown>;
  readonly readNow: () => Promise<R>;
  /** What is to be said of it at the head of the page. */
  readonly onSaid: (said: string) => void;
  /** More below the fields. @param touched the keys of those that differ */
  readonly children?: (
    touched: readonly string[],
    against: (pointer: string) => string | undefined,
  ) => ComponentChildren;
}) {
  const { admin: say } = words.value;
  const readAgain = useReadAgain();
  const none: Begun<R> = { base: undefined, typed: {}, others: [] };
  // A sign-in that ends while somebody types loses nothing.
  const [{ base, typed, others }, setBegun, forget] = useKept(`change ${record.id}`, none);
  const putBack = (): void => {
    setBegun(() => none);
    forget();
  };
  const from = base ?? record;
  const sections = sectionsOf(typed);
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
        const others = specs.filter(differs);
        setBegun(() => ({ base: now, typed, others }));
        void readAgain();
        throw racedBy(
          others.map((spec) =>
            say.wrote(
              spec.label,
              shownOf(spec, valueOf(from, spec.key)),
              shownOf(spec, valueOf(now, spec.key)),
            ),
          ),
          say.racedWayOut,
        );
      }
      throw failure;
    }
    putBack();
    await readAgain();
    onSaid(say.saved(touched.map(({ label }) => label).join(', ')));
  };
  /** Where both changed a field, the other's value stands beside hers. */
  const besideOf = (spec: FieldSpec): string | undefined =>
    others.some(({ key }) => key === spec.key) && touched.includes(spec)
      ? say.inTheBook(shownOf(spec, valueOf(from, spec.key)))
      : undefined;
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
          {children?.(
            touched.map(({ key }) => key),
            against,
          )}
          <PutBack when={touched.length > 0} onPutBack={putBack} />
        </>
      )}
    </ActForm>
  );
}
