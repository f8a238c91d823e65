/**
 * Black on white, or white on black for a dark shop: the person's own choice, for bright
 * sun and a dark laminating room are not what the phone's clock or its settings say.
 */
import { effect, signal } from '@preact/signals';

const KEPT_AS = 'castbook.tone';

export const dark = signal(localStorage.getItem(KEPT_AS) === 'dark');

effect(() => {
  document.documentElement.classList.toggle('dark', dark.value);
  localStorage.setItem(KEPT_AS, dark.value ? 'dark' : 'light');
});
