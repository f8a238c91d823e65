/** What every page is made of: the sheet with its heading, facts in boxes, what went wrong. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { Problem, Unreachable } from '../api.ts';
import { NotKept } from '../offline/reach.ts';
import { language, words } from '../words/words.ts';

/** A page. Its heading takes the focus when the page is turned to, for those who hear it. */
export function Sheet({ title, children }: { title: string; children: ComponentChildren }) {
  const heading = useRef<HTMLHeadingElement>(null);
  const spoken = useRef<string>();
  useEffect(() => {
    document.title = `${title} · ${words.value.service.name}`;
    // The same page in another language is not another page: the focus stays where it was.
    if (spoken.current === undefined || spoken.current === language.value) {
      heading.current?.focus();
    }
    spoken.current = language.value;
  }, [title]);
  return (
    <main id="sheet" class="sheet">
      <h1 tabIndex={-1} ref={heading}>
        {title}
      </h1>
      {children}
    </main>
  );
}

/** A small label over each value. Values that are not there are left out. */
export const Facts = ({
  of,
}: {
  of: readonly (readonly [label: string, value: ComponentChildren])[];
}) => (
  <dl class="facts">
    {of
      .filter(([, value]) => value !== null && value !== undefined && value !== '')
      .map(([label, value]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
  </dl>
);

/** What went wrong, in the service's words, with the way out; said aloud when it comes. */
export function WentWrong({ failure, retry }: { failure: unknown; retry?: () => void }) {
  const { service } = words.value;
  if (failure === null || failure === undefined) return null;
  return (
    <div class="problem" role="alert">
      {failure instanceof Problem ? (
        <>
          <strong>{failure.message}</strong>
          {failure.reasons.length > 1 && (
            <ul>
              {failure.reasons.map((reason) => (
                <li key={reason.detail}>
                  {reason.detail} {reason.wayOut}
                </li>
              ))}
            </ul>
          )}
          {failure.wayOut !== '' && (
            <p>
              {service.wayOut}: {failure.wayOut}
            </p>
          )}
        </>
      ) : (
        <strong>
          {failure instanceof NotKept
            ? words.value.offline.notKept
            : failure instanceof Unreachable
              ? service.unreachable
              : String(failure)}
        </strong>
      )}
      {retry !== undefined && <button onClick={retry}>{service.retry}</button>}
    </div>
  );
}

export const Loading = () => <p role="status">{words.value.service.loading}</p>;
