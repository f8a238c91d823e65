/** Ten codes, shown once, for the paper on which they are kept. */
import { useEffect, useRef } from 'preact/hooks';
import { words } from '../words/words.ts';

export function RecoveryCodes({
  codes,
  onKept,
}: {
  readonly codes: readonly string[];
  readonly onKept: () => void;
}) {
  const { secondFactor: say } = words.value;
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  return (
    <section aria-label={say.codesTitle}>
      <h3 tabIndex={-1} ref={title}>
        {say.codesTitle}
      </h3>
      <p>{say.codesSay}</p>
      <ol class="recovery-codes">
        {codes.map((code) => (
          <li key={code}>
            <code>{code}</code>
          </li>
        ))}
      </ol>
      <p class="actions no-print">
        <button type="button" onClick={() => print()}>
          {say.print}
        </button>{' '}
        <button type="button" class="act" onClick={onKept}>
          {say.kept}
        </button>
      </p>
    </section>
  );
}
