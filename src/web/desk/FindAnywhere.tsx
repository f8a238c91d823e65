/**
 * The search from any page: a button in the head, and the key /. On a page that has the
 * field itself the key goes there. The key can be turned off (WCAG 2.2, 2.1.4), for those
 * whose keys are pressed by speech.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { orderPage, ordersOfPatient } from '../links.ts';
import { words } from '../words/words.ts';
import { Find, FIND_FIELD } from './Find.tsx';

const KEPT_AS = 'castbook.findKey';
const keyIsOn = (): boolean => localStorage.getItem(KEPT_AS) !== 'off';

/** Whether a key that was pressed belongs to what is being typed, or to a browser's own command. */
export const isTyping = ({ target, ctrlKey, metaKey, altKey }: KeyboardEvent): boolean =>
  ctrlKey ||
  metaKey ||
  altKey ||
  (target instanceof HTMLElement &&
    (target.isContentEditable ||
      target.matches('input:not([type=checkbox], [type=radio]), textarea, select')));

export function FindAnywhere() {
  const { book: say } = words.value;
  const [, turnTo] = useLocation();
  const dialog = useRef<HTMLDialogElement>(null);
  const [opened, setOpened] = useState(false);
  const [keyOn, setKeyOn] = useState(keyIsOn);
  const open = (): void => {
    const here = document.querySelector<HTMLElement>(`main input[name=${FIND_FIELD}]`);
    if (here !== null) {
      here.focus();
      return;
    }
    setOpened(true);
    dialog.current?.showModal();
    requestAnimationFrame(() => dialog.current?.querySelector('input')?.focus());
  };
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== '/' || isTyping(event) || !keyIsOn()) return;
      event.preventDefault();
      open();
    };
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, []);
  return (
    <>
      <button
        class="find-open"
        type="button"
        aria-keyshortcuts={keyOn ? '/' : undefined}
        onClick={open}
      >
        {say.open}
      </button>
      <dialog ref={dialog} aria-label={say.find} onClose={() => setOpened(false)}>
        {opened && (
          <Find
            onPick={(found) => {
              dialog.current?.close();
              turnTo(
                found.kind === 'order'
                  ? orderPage(found.order.id)
                  : ordersOfPatient(found.patient.id),
              );
            }}
          />
        )}
        <label class="tick">
          <input
            type="checkbox"
            checked={keyOn}
            onChange={({ currentTarget }) => {
              localStorage.setItem(KEPT_AS, currentTarget.checked ? 'on' : 'off');
              setKeyOn(currentTarget.checked);
            }}
          />
          {say.keyOpens}
        </label>
        <button type="button" onClick={() => dialog.current?.close()}>
          {say.close}
        </button>
      </dialog>
    </>
  );
}
