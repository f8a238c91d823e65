/**
 * What was typed on this page and not yet sent. While there is such, nothing that others do
 * changes the page under the hands of whoever types.
 */
import { computed, signal } from '@preact/signals';

const forms = signal<ReadonlySet<HTMLFormElement>>(new Set());

export const isTyping = computed(() => forms.value.size > 0);

/** A search loses nothing by being read again. */
const holds = (form: HTMLFormElement): boolean => form.getAttribute('role') !== 'search';

/** Looks at every field of the page, and at forms that go. */
export function watchTyping(): void {
  document.addEventListener('input', ({ target }) => {
    const form = target instanceof Element ? target.closest('form') : null;
    if (form !== null && holds(form) && !forms.value.has(form)) {
      forms.value = new Set([...forms.value, form]);
    }
  });
  new MutationObserver(() => {
    const there = [...forms.value].filter((form) => form.isConnected);
    if (there.length < forms.value.size) forms.value = new Set(there);
  }).observe(document.body, { childList: true, subtree: true });
}

/** What the form holds is in the record. */
export function wasSent(form: HTMLFormElement | null): void {
  if (form !== null && forms.value.has(form)) {
    forms.value = new Set([...forms.value].filter((each) => each !== form));
  }
}
