/** On every page: that the network is away, how many acts wait on this phone, and cups that set meanwhile. */
import { useEffect, useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { openActs } from './acts.ts';
import { offline, serviceNow } from './reach.ts';

export function HeadKept() {
  const { offline: say } = words.value;
  if (person.value == null) return null;
  const open = openActs.value;
  const stuck = open.some(({ state }) => state.kind === 'refused');
  return (
    <div class="head-kept">
      <span role="status">{offline.value ? say.noNetwork : ''}</span>
      {open.length > 0 && (
        <Link class={stuck ? 'kept-mark against' : 'kept-mark'} href="/kept">
          {say.kept(open.length)}
          {stuck ? `: ${say.needsYou}` : ''}
        </Link>
      )}
      {open.map(({ key, cup }) => cup !== null && <CupClock key={key} {...cup} />)}
    </div>
  );
}

function CupClock({ pour, setsAt }: { readonly pour: number; readonly setsAt: string }) {
  const { offline: say } = words.value;
  const [now, setNow] = useState(serviceNow);
  useEffect(() => {
    const timer = setInterval(() => setNow(serviceNow()), 1000);
    return () => clearInterval(timer);
  }, []);
  const seconds = Math.floor((Date.parse(setsAt) - now.getTime()) / 1000);
  const time = `${String(Math.floor(seconds / 60))}:${String(seconds % 60).padStart(2, '0')}`;
  return (
    <span class="clock" role="timer">
      {seconds > 0 ? say.cup(pour, time) : say.cupSet(pour)}
    </span>
  );
}
