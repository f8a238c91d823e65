/** What was just done. It stands at the head of the page, and the page turns to it. */
import { useEffect, useRef } from 'preact/hooks';

export function Done({ said }: { said: string }) {
  const note = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (said !== '') note.current?.focus();
  }, [said]);
  return (
    <div role="status">
      {said !== '' && (
        <p class="caution" tabIndex={-1} ref={note}>
          {said}
        </p>
      )}
    </div>
  );
}
