/** The timeline as a table. */
import { Link } from 'wouter-preact';
import type { Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { useInstantWords } from '../parts/instants.ts';
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
