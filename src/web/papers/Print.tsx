/**
 * A paper as it is at this moment, fetched with the token and opened in a page of its own to
 * be printed. Where the browser lets no page be opened, a link stays.
 */
import { useEffect, useState } from 'preact/hooks';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

export function Print({
  what,
  read,
}: {
  /** The words of the button. */
  readonly what: string;
  /** Answers the PDF. */
  readonly read: () => Promise<unknown>;
}) {
  const { papers: say } = words.value;
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
      const made = URL.createObjectURL((await read()) as Blob);
      setSheet(made);
      window.open(made, '_blank');
    } catch (wrong) {
      setFailure(wrong);
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <button type="button" disabled={busy} onClick={() => void print()}>
        {what}
      </button>
      {sheet !== null && (
        <a
          class="touch"
          href={sheet}
          target="_blank"
          rel="noopener"
          aria-label={`${say.openPrinted}: ${what}`}
        >
          {say.openPrinted}
        </a>
      )}
      <WentWrong failure={failure} />
    </>
  );
}
