/** What a request is made of before it is sent: JSON, and what no JSON value can be. */

/** Stands in a body as these very characters: 1e400, a key twice, an unfinished list. */
export class RawJson {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

/** Which record an identifier names; which one that is, is known only when it is sent. */
export class IdOf {
  /** As in `socketId`; undefined: of whatever kind. */
  readonly kind: string | undefined;
  readonly whose: 'own' | 'other kind' | 'other clinic' | 'nobody';
  /** Picks among those that there are. */
  readonly pick: number;
  constructor(kind: string | undefined, whose: IdOf['whose'], pick: number) {
    this.kind = kind;
    this.whose = whose;
    this.pick = pick;
  }
}

/** A text that the service gave before under this name. */
export class TextGiven {
  readonly name: string;
  readonly pick: number;
  readonly otherwise: string;
  constructor(name: string, pick: number, otherwise: string) {
    this.name = name;
    this.pick = pick;
    this.otherwise = otherwise;
  }
}

/** What only an answer of this very moment can give; asked for right before it is sent (askedFirst.ts). */
export class ToCome {
  readonly what: ComingText | 'version' | 'proofId';
  constructor(what: ToCome['what']) {
    this.what = what;
  }
}
export type ComingText =
  'state' | 'code' | 'iss' | 'oneTimeCode' | 'refreshToken' | 'invitedEmail' | 'accessCode';

/** The caller's password of this moment. */
export const OWN_PASSWORD = Symbol('own password');
/** The hash that the sister route answers for the same body. */
export const SHOWN = Symbol('what was shown');

export type Value =
  | null
  | boolean
  | number
  | string
  | RawJson
  | IdOf
  | TextGiven
  | ToCome
  | typeof OWN_PASSWORD
  | typeof SHOWN
  | readonly Value[]
  | { readonly [name: string]: Value };

export type Fields = Readonly<Record<string, Value>>;

/** What is left when everything symbolic is bound. */
export type Bound =
  | null
  | boolean
  | number
  | string
  | RawJson
  | readonly Bound[]
  | { readonly [name: string]: Bound };

export const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' &&
  value !== null &&
  !Array.isArray(value) &&
  !(
    value instanceof RawJson ||
    value instanceof IdOf ||
    value instanceof TextGiven ||
    value instanceof ToCome
  );

/** A name that stands twice in its object; written without the mark. */
export const TWICE = '\u0001twice';

/** JSON as it is sent; -0 keeps its sign, and what is raw stays so. */
export function written(value: Bound): string {
  if (value instanceof RawJson) return value.text;
  if (Object.is(value, -0)) return '-0';
  if (Array.isArray(value)) return `[${(value as readonly Bound[]).map(written).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    const members = Object.entries(value as Readonly<Record<string, Bound>>).map(
      ([name, member]) => `${JSON.stringify(name.replace(TWICE, ''))}:${written(member)}`,
    );
    return `{${members.join(',')}}`;
  }
  return JSON.stringify(value);
}
