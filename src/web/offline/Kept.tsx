/** The acts that wait on this phone: how each stands, and what its person decides about those refused. */
import { useQueryClient } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { useLocation, useSearchParams } from 'wouter-preact';
import { putDraft } from '../bench/draft.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { act, actsOfOthers, dismiss, doAgain, openActs, ownActs, setAside } from './acts.ts';
import { cannotKeep, unreadable } from './phone.ts';
import { typedAgain, type KeptAct, type Refusal } from './queue.ts';
import { leave } from './start.ts';
import { stateWords } from './stateWords.ts';

export function Kept() {
  const { offline: say } = words.value;
  const [search] = useSearchParams();
  const acts = ownActs.value;
  const shown = acts.filter(({ state }) => state.kind !== 'over');
  const over = acts.filter(({ state }) => state.kind === 'over').reverse();
  return (
    <Sheet title={say.title}>
      <div class="bench kept">
        {search.has('leaving') && openActs.value.length > 0 && <Leaving />}
        {cannotKeep.value && <p class="caution">{say.cannotKeep}</p>}
        {unreadable.value > 0 && <p class="caution">{say.unreadable(unreadable.value)}</p>}
        <p>{shown.length === 0 ? say.none : say.notRecord}</p>
        {actsOfOthers.value > 0 && <p>{say.ofOthers(actsOfOthers.value)}</p>}
        {shown.map((each) => (
          <Act key={each.key} act={each} />
        ))}
        {over.length > 0 && (
          <section>
            <h2>{say.sentLately}</h2>
            {over.map((each) => (
              <Line key={each.key} act={each} />
            ))}
          </section>
        )}
      </div>
    </Sheet>
  );
}

function Leaving() {
  const { offline: say } = words.value;
  const queries = useQueryClient();
  const [, go] = useLocation();
  return (
    <section class="problem" role="alert">
      <strong>{say.leaving}</strong>
      <p>{say.leavingMore(openActs.value.length)}</p>
      <button type="button" class="wide" onClick={() => void leave(queries).then(() => go('/'))}>
        {say.leave}
      </button>
      <button type="button" class="wide" onClick={() => go('/kept', { replace: true })}>
        {say.stay}
      </button>
    </section>
  );
}

function Line({ act: { said, about, recordedAt }, act: each }: { readonly act: KeptAct }) {
  const instant = useInstantWords();
  return (
    <p class="kept-over">
      <strong>{said}</strong> · {about} · {instant(recordedAt)} · {stateWords(each)}
    </p>
  );
}

function Act({ act: each }: { readonly act: KeptAct }) {
  const { offline: say } = words.value;
  const instant = useInstantWords();
  const [, go] = useLocation();
  const { state } = each;
  const against = 'refusal' in state ? state.refusal : null;
  const again = async (): Promise<void> => {
    if (each.draft !== null) putDraft(each.draft.name, typedAgain(each));
    await doAgain(each);
    go(each.page);
  };
  return (
    <article class={state.kind === 'refused' ? 'kept-act against' : 'kept-act'}>
      <h2>{each.said}</h2>
      <p class="stands">{stateWords(each)}</p>
      <Facts
        of={[
          [say.about, each.about],
          [say.recordedAt, instant(each.recordedAt)],
          [say.why, state.kind === 'aside' ? state.why : null],
          ...each.told,
        ]}
      />
      {against !== null && <Against refusal={against} />}
      {state.kind === 'refused' && (
        <button type="button" class="act" onClick={() => void again()}>
          {say.again}
        </button>
      )}
      {state.kind === 'again' && (
        <button type="button" class="wide" onClick={() => go(each.page)}>
          {say.openPage}
        </button>
      )}
      {(state.kind === 'refused' || state.kind === 'again') && <SetAside act={each} />}
      {state.kind === 'aside' && (
        <button type="button" class="wide" onClick={() => void dismiss(each.key)}>
          {say.dismiss}
        </button>
      )}
    </article>
  );
}

function Against({ refusal: { words: said, wayOut, reasons } }: { readonly refusal: Refusal }) {
  const { offline: say, service } = words.value;
  return (
    <div class="problem">
      <p class="label">{say.against}</p>
      <strong>{said}</strong>
      {reasons.length > 1 && (
        <ul>
          {reasons.map((each) => (
            <li key={each.detail}>
              {each.detail} {each.wayOut}
            </li>
          ))}
        </ul>
      )}
      {wayOut !== '' && (
        <p>
          {service.wayOut}: {wayOut}
        </p>
      )}
    </div>
  );
}

function SetAside({ act: each }: { readonly act: KeptAct }) {
  const { offline: say } = words.value;
  const instant = useInstantWords();
  const [open, setOpen] = useState(false);
  const [why, setWhy] = useState('');
  const [missing, setMissing] = useState(false);
  const [told, setTold] = useState<'finding' | 'no'>('no');
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (why.trim() === '') {
      setMissing(true);
      return;
    }
    const against = 'refusal' in each.state ? each.state.refusal.words : '';
    await setAside(each.key, why.trim());
    if (told === 'no') return;
    const note = say.findingNote(each.said, instant(each.recordedAt), against, why.trim());
    const { socketId } = each;
    await act(crypto.randomUUID(), {
      path: '/api/v1/sockets/{socketId}/findings',
      params: { socketId },
      body: (recordedAt) => ({ kind: 'other' as const, note: note.slice(0, 2000), recordedAt }),
      said: say.findingOf(each.said),
      about: each.about,
      subject: `finding:${each.key}`,
      socketId,
      page: each.page,
    }).catch(() => undefined);
  };
  if (!open) {
    return (
      <button type="button" class="wide" onClick={() => setOpen(true)}>
        {say.setAside}
      </button>
    );
  }
  return (
    <form noValidate onSubmit={(event) => void submit(event)}>
      <TextField
        label={say.setAsideWhy}
        value={why}
        against={missing && why.trim() === '' ? say.setAsideMissing : undefined}
        onInput={({ currentTarget }) => setWhy(currentTarget.value)}
      />
      <Choices
        label={say.setAsideTold}
        name={`told-${each.key}`}
        of={say.setAsideHow}
        value={told}
        onChoose={setTold}
      />
      <button type="submit" class="wide">
        {say.setAsideAct}
      </button>
    </form>
  );
}
