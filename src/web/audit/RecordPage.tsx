/** Is the record whole? Worked out again in the reader's own browser, against a head noted on paper. */
import { useQuery } from '@tanstack/preact-query';
import { useRef, useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import {
  CHAIN_START,
  endsEarly,
  notedWords,
  readNotedHead,
  type ChainFault,
  type NotedHead,
} from '../../domain/eventChain.ts';
import { answered, api } from '../api.ts';
import { historyPage } from '../links.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { SignedHeads } from './SignedHeads.tsx';
import { newestSignedHead } from './signedHeads.ts';
import { Verdict } from './RecordVerdict.tsx';
import { begin, goOn, headNoted, type Standing } from './verification.ts';

const readHead = () => answered(api.GET('/api/v1/record/head'));

export function RecordPage() {
  const { audit: say, pages } = words.value;
  const { data: head, error, refetch } = useQuery({ queryKey: ['record'], queryFn: readHead });
  const { data: clinic } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
  });
  const at = useInstantWords();
  return (
    <Sheet title={pages.record}>
      <p>{say.recordIntro}</p>
      <WentWrong failure={error} retry={() => void refetch()} />
      {head === undefined ? (
        error === null && <Loading />
      ) : (
        <>
          <h2>{say.recordNow}</h2>
          <Facts
            of={[
              [say.when, at(head.at)],
              [say.headOver, say.recordsCount(head.seq)],
              [say.noteThis, <span class="noted">{notedWords(head)}</span>],
            ]}
          />
          <p class="hint">{say.recordLimit}</p>
          <SignedHeads />
          <Verify />
        </>
      )}
      {clinic !== undefined && (
        <p>
          <Link class="touch" href={historyPage('clinic', clinic.id)}>
            {say.clinicHistory}: {say.history}
          </Link>
        </p>
      )}
    </Sheet>
  );
}

type From = 'all' | 'noted';

function Verify() {
  const { audit: say } = words.value;
  const [typed, setTyped] = useState('');
  const [from, setFrom] = useState<From>('all');
  const [against, setAgainst] = useState<string>();
  const [failure, setFailure] = useState<unknown>(null);
  const [standing, setStanding] = useState<Standing | null>(null);
  const [noted, setNoted] = useState<NotedHead>();
  const [busy, setBusy] = useState(false);
  const stopping = useRef(new AbortController());

  const run = async (of: Standing, against: NotedHead | undefined): Promise<void> => {
    stopping.current = new AbortController();
    setBusy(true);
    setFailure(null);
    setStanding(of);
    try {
      await goOn(of, against, stopping.current.signal, setStanding);
    } catch (wrong) {
      setFailure(wrong);
    } finally {
      setBusy(false);
    }
  };
  const start = async (): Promise<void> => {
    const against = typed.trim() === '' ? undefined : (readNotedHead(typed) ?? null);
    setAgainst(
      against === null || (against === undefined && from === 'noted') ? say.notedWrong : undefined,
    );
    if (against === null || (against === undefined && from === 'noted')) return;
    setNoted(against);
    setFailure(null);
    try {
      const signedHead = await newestSignedHead();
      const { seq } = await readHead();
      const nothing = (fault: ChainFault | null): void =>
        setStanding({ ...begin(CHAIN_START, seq), fault, done: true });
      if (against !== undefined && against.seq > seq) {
        // The record ends before what was noted.
        nothing(endsEarly({ ...CHAIN_START, seq }, against.seq));
      } else if (from === 'all' || against === undefined) {
        // Signed before the end was asked for: what it covers is in what is verified.
        await run(begin(CHAIN_START, seq, signedHead), against);
      } else {
        const head = await headNoted(against);
        if ('kind' in head) nothing(head);
        else await run(begin(head, seq), against);
      }
    } catch (wrong) {
      setFailure(wrong);
    }
  };
  return (
    <>
      <h2>{say.verifyTitle}</h2>
      <form
        class="screen"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          if (!busy) void start();
        }}
      >
        <TextField
          label={say.noted}
          hint={say.notedHint}
          autocomplete="off"
          spellcheck={false}
          value={typed}
          against={against}
          onInput={({ currentTarget }) => setTyped(currentTarget.value)}
        />
        <Choices
          label={say.from}
          hint={say.fromNotedHint}
          name="from"
          of={say.froms}
          value={from}
          onChoose={setFrom}
        />
        <button class="act" type="submit" disabled={busy}>
          {say.verify}
        </button>
      </form>
      <WentWrong failure={failure} />
      {standing !== null && (
        <>
          <Progress of={standing} />
          {busy && (
            <button type="button" onClick={() => stopping.current.abort()}>
              {say.stop}
            </button>
          )}
          {!busy && !standing.done && (
            <>
              <p>{say.stopped(standing.head.seq)}</p>
              <button type="button" onClick={() => void run(standing, noted)}>
                {say.goOn}
              </button>
            </>
          )}
          {standing.done && <Verdict of={standing} noted={noted} />}
        </>
      )}
    </>
  );
}

function Progress({ of: { from, head, until } }: { readonly of: Standing }) {
  const { audit: say } = words.value;
  const [done, all] = [head.seq - from.seq, until - from.seq];
  return (
    <p class="progress">
      <progress aria-label={say.verify} max={Math.max(1, all)} value={done} />{' '}
      <span>{say.verifying(done, all)}</span>
    </p>
  );
}
