/** The running clocks in the head: how long each mixed cup can still be worked. */
import { useQuery } from '@tanstack/preact-query';
import { useEffect, useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { serviceNowMs, unwatchResin, watchedSockets } from './clock.ts';
import { place } from './place.ts';
import { readResin } from './record.ts';

/** Somebody else may laminate, or mix another cup. */
const ASK_AGAIN_MS = 30_000;
/** So few minutes before it sets the clock turns red. Common practice, no source. */
const SOON_SECONDS = 5 * 60;

export function HeadClock() {
  if (person.value == null) return null;
  return (
    <>
      {watchedSockets.value.map((id) => (
        <SocketClock key={id} socketId={id} />
      ))}
    </>
  );
}

function SocketClock({ socketId }: { readonly socketId: string }) {
  const { bench: say } = words.value;
  const { data, dataUpdatedAt, error } = useQuery({
    queryKey: ['resin', socketId],
    queryFn: () => readResin(socketId),
    refetchInterval: ASK_AGAIN_MS,
  });
  const now = useNow();
  const running = (data?.cups ?? []).flatMap(({ pour, clock }) =>
    clock === null ? [] : [{ pour, setsAt: clock.setsAt }],
  );
  const over = data !== undefined && running.length === 0;
  useEffect(() => {
    if (over) unwatchResin(socketId);
  }, [over, socketId]);
  if (data === undefined || over) {
    return error === null ? null : <span class="clock">{say.clockUnknown}</span>;
  }
  return (
    <Link class="clock" href={place.resin(socketId)}>
      {running.map(({ pour, setsAt }) => {
        const seconds = (Date.parse(setsAt) - serviceNowMs(data.asOf, dataUpdatedAt, now)) / 1000;
        return (
          <span key={pour} role="timer" class={seconds < SOON_SECONDS ? 'soon' : ''}>
            {say.cup} {pour}: <strong>{seconds > 0 ? minutesWords(seconds) : say.set}</strong>
            {seconds > 0 ? ` ${say.leftToWork}` : ` ${say.setSince(Math.floor(-seconds / 60))}`}
          </span>
        );
      })}
      <small>{data.socketNumber}</small>
    </Link>
  );
}

const minutesWords = (seconds: number): string =>
  `${String(Math.floor(seconds / 60))}:${String(Math.floor(seconds % 60)).padStart(2, '0')}`;

function useNow(): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(timer);
  }, []);
  return now;
}
