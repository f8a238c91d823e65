/** Chooses one of several things by the code on it. */
import { words } from '../../words/words.ts';
import { whichOf, type Known } from './known.ts';
import { ScanButton } from './ScanButton.tsx';

export function ScanFor({
  what,
  among,
  onFound,
}: {
  /** What is scanned: the label of the field beside it. */
  readonly what: string;
  readonly among: readonly Known[];
  readonly onFound: (id: string) => void;
}) {
  const { bench: say } = words.value;
  return (
    <ScanButton
      scan={say.scanIt(what)}
      onRead={async (codes) => {
        const which = await whichOf(codes, among);
        if ('wrong' in which) return which.wrong;
        onFound(which.id);
        return undefined;
      }}
    />
  );
}
