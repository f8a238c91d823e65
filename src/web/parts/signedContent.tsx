/**
 * The exact content of a signature in words: every field of it, whatever it holds. A field
 * that has no words of its own yet stands under its own name; none is left out.
 */
import type { ComponentChildren } from 'preact';
import { inFigures } from '../words/figures.ts';
import { dayWords, words } from '../words/words.ts';

type Members = Readonly<Record<string, unknown>>;

export function SignedContent({ content }: { readonly content: Members }) {
  return <MembersShown of={content} names={namesIn(content)} />;
}

/** One value of a content by itself. */
export const SignedValue = ({ field, value }: { field: string; value: unknown }) => (
  <Cell field={field} value={value} names={namesIn(value)} />
);

/** What tells the entries of a list apart, in words: a position, a kind of joint, an operation. */
export const valueName = (key: string): string =>
  valueWords('position')[key] ?? valueWords('kind')[key] ?? key;

/** A short value in its box; a list or what has parts of its own below, under its name. */
function MembersShown({ of, names }: { of: Members; names: Names }) {
  const all = Object.entries(of);
  const short = all.filter(([, value]) => isShort(value));
  const long = all.filter(([, value]) => !isShort(value));
  return (
    <>
      {short.length > 0 && (
        <dl class="facts">
          {short.map(([key, value]) => (
            <div key={key}>
              <dt>{labelOf(key)}</dt>
              <dd>{shortWords(key, value, names)}</dd>
            </div>
          ))}
        </dl>
      )}
      {long.map(([key, value]) => (
        <section key={key} class="signed-part">
          <h3>{labelOf(key)}</h3>
          <Long field={key} value={value} names={names} />
        </section>
      ))}
    </>
  );
}

function Long({ field, value, names }: { field: string; value: unknown; names: Names }) {
  if (!Array.isArray(value)) return <MembersShown of={value as Members} names={names} />;
  const each = value as readonly unknown[];
  if (each.every(isShort)) {
    return (
      <ul class="plain">
        {each.map((one, at) => (
          <li key={at}>{shortWords(field, one, names)}</li>
        ))}
      </ul>
    );
  }
  return <Rows of={each as readonly Members[]} names={names} />;
}

function Rows({ of, names }: { of: readonly Members[]; names: Names }) {
  const keys = [...new Set(of.flatMap((row) => Object.keys(row)))];
  return (
    <table class="stacked pairs">
      <thead>
        <tr>
          {keys.map((key) => (
            <th key={key}>{labelOf(key)}</th>
          ))}
        </tr>
      </thead>
      <tbody>
        {of.map((row, at) => (
          <tr key={at}>
            {keys.map((key) => (
              <td key={key} data-label={labelOf(key)}>
                <Cell field={key} value={row[key]} names={names} />
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Cell({ field, value, names }: { field: string; value: unknown; names: Names }) {
  if (value === undefined) return <>–</>;
  return isShort(value) ? (
    <>{shortWords(field, value, names)}</>
  ) : (
    <Long field={field} value={value} names={names} />
  );
}

const isShort = (value: unknown): boolean =>
  typeof value !== 'object' || value === null || (Array.isArray(value) && value.length === 0);

/** `bodyMassKg` without words of its own is said as "Body mass kg". */
export function labelOf(key: string): string {
  const fields: Readonly<Record<string, string>> = words.value.signing.fields;
  const spelled = key.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return fields[key] ?? spelled.charAt(0).toUpperCase() + spelled.slice(1);
}

const UNITS: readonly (readonly [end: RegExp, unit: string])[] = [
  [/Mm2$/, ' mm²'],
  [/Gcm3$/, ' g/cm³'],
  [/Gm2$/, ' g/m²'],
  [/Mm$/, ' mm'],
  [/Kg$/, ' kg'],
  [/[a-z]G$/, ' g'],
  [/Deg$/, '°'],
  [/Percent$/, ' %'],
  [/Nm$/, ' N·m'],
];

function shortWords(key: string, value: unknown, names: Names): ComponentChildren {
  const { signing: say } = words.value;
  if (value === null || Array.isArray(value)) return say.none;
  if (typeof value === 'boolean') return value ? say.yes : say.no;
  if (typeof value === 'number') {
    const unit = UNITS.find(([end]) => end.test(key))?.[1] ?? '';
    return `${inFigures(value, 3)}${unit}`.replace(/^-/, '−');
  }
  const said = String(value);
  if (key.endsWith('On') && /^\d{4}-\d\d-\d\d$/.test(said)) return dayWords(said);
  return key === 'id' ? said : (names.get(said) ?? valueWords(key)[said] ?? said);
}

/** The words of a field's closed list of values. */
function valueWords(key: string): Readonly<Record<string, string>> {
  const { fitting, levels, rights, sides, signing } = words.value;
  const lists: Readonly<Record<string, Readonly<Record<string, string>>>> = {
    component: fitting.components,
    direction: fitting.directions,
    fabric: signing.materials,
    form: signing.forms,
    kind: {
      ...fitting.findings,
      ...fitting.joints,
      ...signing.lineKinds,
      ...signing.serviceKinds,
    },
    level: levels,
    limbChangeDecided: fitting.decisions,
    material: signing.materials,
    position: fitting.positions,
    receivedByRelation: { patient: fitting.relationPatient },
    side: sides,
    source: fitting.capSources,
    state: fitting.operationStates,
    subjectKind: rights.kinds,
    toErase: rights.whats,
    // As the layup itself writes it.
    what: { 'tooling plate': signing.lineKinds.tooling_plate },
    where: signing.wheres,
  };
  return lists[key] ?? {};
}

/** What the content itself names by an id: shown by its name, and under its id once. */
type Names = ReadonlyMap<string, string>;

function namesIn(value: unknown, into = new Map<string, string>()): Names {
  if (typeof value !== 'object' || value === null) return into;
  const { id, name } = value as { id?: unknown; name?: unknown };
  if (typeof id === 'string' && typeof name === 'string') into.set(id, name);
  for (const inside of Object.values(value)) namesIn(inside, into);
  return into;
}
