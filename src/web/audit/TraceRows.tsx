/** The timeline as a table. */
import { Link } from 'wouter-preact';
import type { Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { useState } from 'preact/hooks';
import { useInstantWords } from '../parts/instants.ts';
import { PhotoOnRecord } from '../parts/photos.tsx';
import { CorrectedHere } from '../rights/CorrectedHere.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';

export function TraceRows({ rows }: { rows: readonly Schemas['TraceRow'][] }) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  return (
    <table class="stacked pairs">
      <thead>
        <tr>
          <th>{say.when}</th>
          <th>{say.what}</th>
          <th>{say.where}</th>
          <th>{say.chart}</th>
          <th>{say.who}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row, n) => (
          <tr key={`${row.kind} ${row.recordId} ${n}`}>
            <td data-label={say.when}>{at(row.at)}</td>
            <td class="long" data-label={say.what}>
              {row.what}
              <CorrectedHere of={row.corrections} />
              <PhotosOf row={row} />
            </td>
            <td data-label={say.where}>
              {row.orderId === null ? (
                (row.socketNumber ?? '')
              ) : (
                <Link href={orderPage(row.orderId)}>{row.socketNumber ?? row.orderNumber}</Link>
              )}
            </td>
            <td data-label={say.chart}>{row.chartNumber ?? ''}</td>
            <td data-label={say.who}>{row.who ?? ''}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The photos that a finding was reported with, or an operation asked for. */
function PhotosOf({ row }: { row: Schemas['TraceRow'] }) {
  const [opened, setOpened] = useState(false);
  const ids = photoIdsOf(row);
  if (ids.length === 0 || !may('technician', 'prosthetist', 'auditor')) return null;
  return (
    <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>{words.value.pictures.count(ids.length)}</summary>
      {opened && ids.map((id) => <PhotoOnRecord key={id} id={id} words={row.what} />)}
    </details>
  );
}

function photoIdsOf(row: Schemas['TraceRow']): readonly string[] {
  if (row.kind === 'finding') return row.details.step === 'opened' ? row.details.photoIds : [];
  if (row.kind !== 'operation') return [];
  return Object.values(row.details.results).flatMap((answer) =>
    typeof answer === 'object' && answer !== null && 'photoIds' in answer
      ? (answer.photoIds as string[])
      : [],
  );
}
