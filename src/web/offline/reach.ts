/** Whether the service answers, and what its clock shows. */
import { signal } from '@preact/signals';

/** The network is not there: nothing was answered. */
export class Unreachable extends Error {
  override readonly name: string = 'Unreachable';
}

/** Neither could it be sent, nor can this phone keep it. */
export class NotKept extends Unreachable {
  override readonly name = 'NotKept';
}

/** True from a request that nobody answered until one that somebody did. */
export const offline = signal(!navigator.onLine);

const CLOCK_KEPT_AS = 'castbook.clock';
/** By how much the service's clock is ahead of the phone's, ms. A reload without a network keeps it. */
let aheadMs = Number(sessionStorage.getItem(CLOCK_KEPT_AS) ?? 0);

/** Now, by the service's clock as far as it is known: the phone's own may be wrong. */
export const serviceNow = (): Date => new Date(Date.now() + aheadMs);

/** What the service's clock showed when the phone's showed so many ms. */
export const atService = (phoneMs: number): Date => new Date(phoneMs + aheadMs);

/** Longer than this an answer is not waited for: a network that lets nothing through is none. */
export const LONGEST_WAIT_MS = 20_000;

/**
 * Sends a request.
 * @throws Unreachable where nothing was answered
 */
export async function reach(request: Request): Promise<Response> {
  try {
    const answer = await fetch(request);
    heard(answer);
    return answer;
  } catch (failure) {
    offline.value = true;
    throw new Unreachable(String(failure));
  }
}

function heard({ headers, status }: Response): void {
  // A proxy that answers for a service which is down is not the service.
  offline.value = status === 502 || status === 504;
  const told = Date.parse(headers.get('date') ?? '');
  if (offline.value || Number.isNaN(told)) return;
  // The header has no fractions of a second: half of one is the fairest guess.
  aheadMs = told + 500 - Date.now();
  sessionStorage.setItem(CLOCK_KEPT_AS, String(aheadMs));
}
