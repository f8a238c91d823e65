/** Values of a history as they are read: words of the trade, days, instants, names for ids. */
import { deviceWords } from '../../domain/devices.ts';
import { isToldErased } from '../../domain/seals.ts';
import { dayWords, locale, words } from '../words/words.ts';

export interface Saying {
  readonly names: Readonly<Record<string, string>>;
  readonly instant: (at: string) => string;
}

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const DAY = /^\d{4}-\d\d-\d\d$/;
const INSTANT = /^\d{4}-\d\d-\d\dT\d\d:\d\d/;
const WORD = /^[a-z]+(_[a-z0-9]+)+$/;

/** Words of closed lists, whichever list they are of. */
function listed(word: string): string | undefined {
  const { stages, holds, sides, levels, suspensions, roles, fitting, audit } = words.value;
  const lists: readonly Readonly<Record<string, string>>[] = [
    stages,
    holds,
    sides,
    levels,
    suspensions,
    roles,
    fitting.socketStates,
    fitting.socketKinds,
    audit.moveReasons,
    audit.outcomes,
  ];
  return lists.map((list) => list[word]).find((said) => said !== undefined);
}

/** What a word means in the field in which it stands; a word alone may mean several things. */
function ofField(field: string, word: string): string | undefined {
  const { audit, book, looks, rights, signIn, signing } = words.value;
  const lists: Readonly<Record<string, Readonly<Record<string, string>>>> = {
    ...audit.values,
    how: { ...signIn.sessions.ways, ...audit.values.how },
    purpose: { ...book.purposes, ...audit.values.purpose },
    reason: looks.reasons,
    fields: looks.fields,
    shown: looks.shownWords,
    route: looks.routes,
    meaning: signing.meanings,
    of: rights.kinds,
    what: rights.whats,
    denialGround: rights.grounds,
  };
  return lists[field]?.[word];
}

function deviceSaid(device: string): string {
  const { kind, names } = deviceWords(device);
  const said = words.value.signIn.sessions.kinds[kind];
  return names === '' ? said : `${said}, ${names}`;
}

/**
 * Ids that only point at the record itself say nothing to a reader; the files have them.
 * @param value as JSON holds it
 */
export const saysNothing = (value: unknown, { names }: Saying): boolean =>
  typeof value === 'string' && UUID.test(value) && names[value] === undefined;

/**
 * @param value as JSON holds it
 * @param field in which it stands
 */
export function valueWords(value: unknown, saying: Saying, field = ''): string {
  const { audit: say } = words.value;
  if (value === null || value === undefined || value === '') return say.nothing;
  if (typeof value === 'boolean') return value ? say.yes : say.no;
  // What was reckoned has more figures than anybody measured.
  if (typeof value === 'number') {
    return new Intl.NumberFormat(locale.value, {
      maximumSignificantDigits: 6,
      useGrouping: false,
    }).format(value);
  }
  if (typeof value === 'string') {
    if (field === 'device') return deviceSaid(value);
    return ofField(field, value) ?? textWords(value, saying);
  }
  if (isToldErased(value)) return say.erased;
  if (Array.isArray(value)) {
    const simple = value.every((each) => typeof each !== 'object' || each === null);
    return value.length === 0
      ? say.nothing
      : value.map((each) => valueWords(each, saying, field)).join(simple ? ', ' : '; ');
  }
  return Object.entries(value)
    .filter(([, each]) => each !== null)
    .map(([member, each]) => `${say.field(member)} ${valueWords(each, saying, member)}`)
    .join(', ');
}

function textWords(text: string, { names, instant }: Saying): string {
  if (UUID.test(text)) return names[text] ?? text;
  if (DAY.test(text)) return dayWords(text);
  if (INSTANT.test(text)) return instant(text);
  return listed(text) ?? (WORD.test(text) ? text.replaceAll('_', ' ') : text);
}
