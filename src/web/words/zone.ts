/** The clinic's zone, for what is said outside of a component (R16). */
import { signal } from '@preact/signals';

/** IANA name; null until the clinic's own answer has told it. */
export const clinicZone = signal<string | null>(null);

/**
 * An instant of the record as a day, `YYYY-MM-DD`, and the clock behind it: at the clinic, or
 * in UTC, and saying so, until its zone is known.
 * @param instant RFC 3339, in UTC
 */
export function atClinic(instant: string): { readonly day: string; readonly clock: string } {
  const zone = clinicZone.value;
  // Swedish writes `2026-11-25 14:05`.
  const written = new Intl.DateTimeFormat('sv-SE', {
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    timeZone: zone ?? 'UTC',
  }).format(new Date(instant));
  const [day = instant, clock = ''] = written.split(' ');
  return { day, clock: zone === null ? `${clock} UTC` : clock };
}
