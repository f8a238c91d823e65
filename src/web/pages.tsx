/** Every page with its address, and for whom the head names it. */
import type { ComponentType } from 'preact';
import { OrderList } from './desk/OrderList.tsx';
import type { Person, Role } from './session/session.ts';
import type { Words } from './words/en.ts';

interface Page {
  readonly path: string;
  // wouter hands the address' parameters to the page; each page says which it has.
  readonly component: ComponentType<{ params: never }>;
}
interface NamedPage extends Page {
  readonly name: keyof Words['pages'];
  /** Whose head names it; everybody's where it says none. */
  readonly roles?: readonly Role[];
}

const NAMED: readonly NamedPage[] = [{ path: '/', name: 'orders', component: OrderList }];

export const PAGES: readonly Page[] = [...NAMED];

export const pagesFor = (person: Person | null | undefined): readonly NamedPage[] =>
  person == null
    ? []
    : NAMED.filter(({ roles }) => roles?.some((role) => person.roles.includes(role)) ?? true);
