/** The history of a record on the record's own page: folded, and read only when it is opened. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { historyPage } from '../links.ts';
import { words } from '../words/words.ts';
import { HistoryEntries, type OfRecord } from './HistoryEntries.tsx';

export function RecordHistory(of: OfRecord) {
  const { audit: say } = words.value;
  const [opened, setOpened] = useState(false);
  return (
    <>
      <h2>{say.history}</h2>
      <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
        <summary>{say.readHistory}</summary>
        {opened && (
          <>
            <HistoryEntries {...of} />
            <p>
              <Link class="touch" href={historyPage(of.subjectKind, of.subjectId)}>
                {say.historyPage}
              </Link>
            </p>
          </>
        )}
      </details>
    </>
  );
}
