/** The people that the trace can be asked by: all, where the reader may list them, else oneself. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { may, person } from '../session/session.ts';

type Choice = readonly [id: string, printedName: string];

async function everybody(): Promise<Choice[]> {
  const all: Choice[] = [];
  let after: string | null = null;
  do {
    const query: { limit: number; after?: string } =
      after === null ? { limit: 100 } : { limit: 100, after };
    const page = await answered(api.GET('/api/v1/people', { params: { query } }));
    all.push(...page.items.map(({ id, printedName }) => [id, printedName] as const));
    after = page.next;
  } while (after !== null);
  return all;
}

export function usePeople(): readonly Choice[] {
  const mayList = may('auditor', 'administrator');
  const { data } = useQuery({ queryKey: ['people'], enabled: mayList, queryFn: everybody });
  const self = person.value;
  if (mayList) return data ?? [];
  return self == null ? [] : [[self.id, self.printedName]];
}
