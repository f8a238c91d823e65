/** A file of the service, fetched with the token and handed to the browser. */
import { useState } from 'preact/hooks';
import { WentWrong } from './sheet.tsx';

export function Download({
  words,
  fileName,
  read,
}: {
  readonly words: string;
  readonly fileName: string;
  readonly read: () => Promise<Blob>;
}) {
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<unknown>(null);
  const fetchIt = async (): Promise<void> => {
    setBusy(true);
    setFailure(null);
    try {
      save(await read(), fileName);
    } catch (wrong) {
      setFailure(wrong);
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <button type="button" disabled={busy} onClick={() => void fetchIt()}>
        {words}
      </button>
      <WentWrong failure={failure} />
    </>
  );
}

function save(file: Blob, fileName: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = fileName;
  link.click();
  URL.revokeObjectURL(link.href);
}
