/**
 * What a bench device keeps: 256 bits of its own, and who has a PIN on it. No PIN, nor
 * anything that one could be tried against: only the service can say whether one is right.
 */
import { signal } from '@preact/signals';
import type { components } from '../../generated/api.ts';
import { serviceNow } from '../offline/reach.ts';

/** Who may unlock this device, by name. */
export interface DevicePin {
  readonly clinicId: string;
  readonly personId: string;
  readonly printedName: string;
  /** RFC 3339. */
  readonly goodUntil: string;
  readonly lockMinutes: number;
}

const SECRET_KEPT_AS = 'castbook.device';
const PINS_KEPT_AS = 'castbook.pins';
const LOCKED_KEPT_AS = 'castbook.locked';

const kept = (): readonly DevicePin[] => {
  try {
    return JSON.parse(localStorage.getItem(PINS_KEPT_AS) ?? '[]') as DevicePin[];
  } catch {
    return [];
  }
};

/** Everybody with a PIN on this device, as far as it knows; the service may know better. */
export const devicePins = signal(kept());

/** Those whose time is not over. */
export const pinsThatCount = (): readonly DevicePin[] =>
  devicePins.value.filter(({ goodUntil }) => Date.parse(goodUntil) > serviceNow().getTime());

/** Made when it is first wanted (base64url, 43 characters). */
export function deviceSecret(): string {
  const before = localStorage.getItem(SECRET_KEPT_AS);
  if (before !== null) return before;
  const bytes = crypto.getRandomValues(new Uint8Array(32));
  const secret = btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');
  localStorage.setItem(SECRET_KEPT_AS, secret);
  return secret;
}

export function keepPin({ goodUntil, ...pin }: components['schemas']['BenchPin']): void {
  write([
    ...devicePins.value.filter(({ personId }) => personId !== pin.personId),
    { ...pin, goodUntil },
  ]);
}

export const forgetPin = (personId: string): void =>
  write(devicePins.value.filter((pin) => pin.personId !== personId));

function write(pins: readonly DevicePin[]): void {
  localStorage.setItem(PINS_KEPT_AS, JSON.stringify(pins));
  devicePins.value = pins;
}

/** True while the device is locked, in every tab and over a reload. */
export const locked = signal(localStorage.getItem(LOCKED_KEPT_AS) !== null);

export function keepLocked(is: boolean): void {
  if (is) localStorage.setItem(LOCKED_KEPT_AS, '1');
  else localStorage.removeItem(LOCKED_KEPT_AS);
  locked.value = is;
}

/** Locks here what another tab of this device has locked. */
export function followLock(onLocked: () => void): void {
  addEventListener('storage', ({ key, newValue }) => {
    if (key === LOCKED_KEPT_AS && newValue !== null && !locked.value) onLocked();
    if (key === PINS_KEPT_AS) devicePins.value = kept();
  });
}
