/** The contents of the set-up: what an administrator keeps, each with what it is for. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { SETUP } from './AdminSheet.tsx';
import { CONTENTS } from './contents.ts';

export function Setup() {
  const { admin: say, pages } = words.value;
  const drafts = useQuery({
    queryKey: ['part-drafts', 'waiting'],
    queryFn: () => answered(api.GET('/api/v1/part-drafts', { params: { query: { limit: 100 } } })),
  });
  const waiting = drafts.data?.items.length ?? 0;
  return (
    <Sheet title={pages.setup}>
      <p>{say.setupSays}</p>
      {CONTENTS.map(({ group, entries }) => (
        <section key={group}>
          <h2>{say.groups[group]}</h2>
          <ul class="lines contents">
            {entries.map((entry) => (
              <li key={entry}>
                <Link class="touch" href={`${SETUP}/${entry}`}>
                  <strong>{say.entries[entry].title}</strong>
                </Link>
                <div>{say.entries[entry].says}</div>
                {entry === 'drafts' && waiting > 0 && (
                  <div class="caution">{say.draftsWait(waiting)}</div>
                )}
              </li>
            ))}
          </ul>
        </section>
      ))}
    </Sheet>
  );
}
