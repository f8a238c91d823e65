/** What a clinic's callers have learned from answers: ids by kind, which of them belong together, texts, versions. */
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;
export const UUIDS = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/gi;

/** Names of fields that say another kind than they are called by. */
const ALIASES: Readonly<Record<string, string>> = {
  prosthetist: 'person',
  technician: 'person',
  visit: 'serviceVisit',
  firstSet: 'measureSet',
  secondSet: 'measureSet',
  draft: 'partDraft',
  work: 'longWork',
};
const TEXT_ALIASES: Readonly<Record<string, string>> = { after: 'next', q: 'number' };
const MOST_TEXTS = 200;
const MOST_RELATED = 60;

export class Pool {
  readonly #ids = new Map<string, string[]>();
  readonly #kindOf = new Map<string, string>();
  readonly #related = new Map<string, Set<string>>();
  readonly #texts = new Map<string, string[]>();
  readonly #versions = new Map<string, number>();

  has = (id: string): boolean => this.#kindOf.has(id.toLowerCase());

  versionOf = (id: string): number => this.#versions.get(id) ?? 1;

  addId(kind: string, id: string): void {
    if (this.#kindOf.has(id)) return;
    this.#kindOf.set(id, kind);
    this.#ids.set(kind, [...(this.#ids.get(kind) ?? []), id]);
  }

  /** One of this kind, of those that stood in one answer with `near` where there are such; undefined where there is none. */
  idOf(kind: string | undefined, pick: number, near: readonly string[] = []): string | undefined {
    const known = kind === undefined ? undefined : this.#canonical(kind);
    // Two of three stay close to what the address names.
    if (pick % 3 !== 0 && known !== undefined) {
      const close = near
        .flatMap((id) => [...(this.#related.get(id) ?? [])])
        .filter((id) => this.#kindOf.get(id) === known);
      if (close.length > 0) return close[pick % close.length];
    }
    const all = known === undefined ? [...this.#kindOf.keys()] : (this.#ids.get(known) ?? []);
    if (all.length === 0) return undefined;
    // The youngest as often as all others together: work goes on where it stands.
    const from = pick % 2 === 0 ? 0 : Math.max(0, all.length - 12);
    return all[from + (pick % (all.length - from))];
  }

  /** One of any kind but this. */
  idOfAnother(kind: string | undefined, pick: number): string | undefined {
    const known = kind === undefined ? undefined : this.#canonical(kind);
    const kinds = [...this.#ids.keys()].filter((each) => each !== known);
    const other = kinds[pick % Math.max(1, kinds.length)];
    return other === undefined ? undefined : this.idOf(other, pick);
  }

  textOf(name: string, pick: number): string | undefined {
    const texts = this.#texts.get(TEXT_ALIASES[name] ?? name) ?? [];
    return texts[pick % Math.max(1, texts.length)];
  }

  /** @param kind of what has an `id` at the top of the answer */
  learn(answer: unknown, kind: string | undefined, about: readonly string[] = []): void {
    const found: string[] = [...about];
    this.#walk(answer, kind, found);
    const ids = found.slice(0, MOST_RELATED);
    for (const id of ids) {
      const related = this.#related.get(id) ?? new Set<string>();
      for (const other of ids) if (other !== id && related.size < MOST_RELATED) related.add(other);
      this.#related.set(id, related);
    }
  }

  #walk(value: unknown, kind: string | undefined, found: string[]): void {
    if (Array.isArray(value)) {
      for (const each of value) this.#walk(each, kind, found);
    } else if (typeof value === 'object' && value !== null) {
      const { id, version } = value as { id?: unknown; version?: unknown };
      if (typeof id === 'string' && typeof version === 'number') this.#versions.set(id, version);
      for (const [name, member] of Object.entries(value)) this.#field(name, member, kind, found);
    }
  }

  #field(name: string, member: unknown, kind: string | undefined, found: string[]): void {
    if (typeof member !== 'string') {
      const singular = name.replace(/ies$/, 'y').replace(/s$/, '');
      const named = singular.endsWith('Id') ? singular.slice(0, -2) : singular;
      if (
        Array.isArray(member) &&
        member.every((each) => typeof each === 'string' && UUID.test(each))
      ) {
        for (const id of member as string[]) this.#idSeen(named, id, found);
      } else this.#walk(member, name === 'items' ? kind : named, found);
      return;
    }
    if (UUID.test(member)) {
      const named = name === 'id' ? kind : /^(\w+)Id$/.exec(name)?.[1];
      if (named !== undefined) this.#idSeen(named, member, found);
      return;
    }
    if (member.length === 0 || member.length > 300) return;
    const texts = this.#texts.get(name) ?? [];
    if (texts.includes(member)) return;
    texts.push(member);
    if (texts.length > MOST_TEXTS) texts.shift();
    this.#texts.set(name, texts);
  }

  #idSeen(named: string, id: string, found: string[]): void {
    const kind = this.#canonical(named);
    if (kind !== undefined) this.addId(kind, id);
    if (!found.includes(id)) found.push(id);
  }

  /** `threadlockerBatch` is a batch, `toPlace` a place. */
  #canonical(name: string): string | undefined {
    // A name such as `constructor` is one that the attack makes up.
    const alias = (Object.hasOwn(ALIASES, name) ? ALIASES[name] : undefined) ?? name;
    if (this.#ids.has(alias)) return alias;
    const lower = alias.toLowerCase();
    return [...this.#ids.keys()]
      .filter((kind) => lower.endsWith(kind.toLowerCase()))
      .sort((a, b) => b.length - a.length)[0];
  }
}
