/** A bench device that nobody touches locks by itself. */
import { devicePins, followLock, locked } from './device.ts';
import { lock, person } from './session.ts';

const LOOK_EVERY_MS = 10_000;
const TOUCHES = ['pointerdown', 'keydown', 'wheel', 'touchstart'] as const;

/** Only where somebody has set a PIN: a desk is nobody's bench. */
export function lockWhenIdle(): void {
  let touchedMs = Date.now();
  const look = (): void => {
    const minutes = Math.min(...devicePins.value.map(({ lockMinutes }) => lockMinutes));
    if (person.value == null || locked.value || Date.now() - touchedMs < minutes * 60_000) return;
    lock();
  };
  // What comes after the time was over does not count as a touch: a phone sleeps, and timers with it.
  const touched = (): void => {
    look();
    touchedMs = Date.now();
  };
  for (const touch of TOUCHES) addEventListener(touch, touched, { capture: true, passive: true });
  document.addEventListener('visibilitychange', look);
  setInterval(look, LOOK_EVERY_MS);
  followLock(lock);
}
