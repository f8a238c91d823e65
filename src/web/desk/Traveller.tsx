/**
 * The traveller as it is at this moment, fetched with the token and opened in a page of
 * its own to be printed. Where the browser lets no page be opened, a link stays.
 */
import { useEffect, useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import type { Order } from './order.ts';

export function Traveller({ order: { id: orderId } }: { readonly order: Order }) {
  const { desk: say } = words.value;
  const [sheet, setSheet] = useState<string | null>(null);
  const [failure, setFailure] = useState<unknown>(null);
  const [busy, setBusy] = useState(false);
  useEffect(
    () => () => {
      if (sheet !== null) URL.revokeObjectURL(sheet);
    },
    [sheet],
  );
  const print = async (): Promise<void> => {
    setBusy(true);
    setFailure(null);
    try {
      const pdf: unknown = await answered(
        api.GET('/api/v1/orders/{orderId}/traveller.pdf', {
          params: { path: { orderId } },
          parseAs: 'blob',
        }),
      );
      const made = URL.createObjectURL(pdf as Blob);
      setSheet(made);
      window.open(made, '_blank');
    } catch (wrong) {
      setFailure(wrong);
    } finally {
      setBusy(false);
    }
  };
  return (
    <p class="acts">
      <button type="button" disabled={busy} onClick={() => void print()}>
        {say.traveller}
      </button>
      {sheet !== null && (
        <a href={sheet} target="_blank" rel="noopener">
          {say.openTraveller}
        </a>
      )}
      <WentWrong failure={failure} />
    </p>
  );
}
