/** The recall drill: a lot or batch, a clock from the question to the answer, and the answer. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { ChangedSince } from '../LiveMark.tsx';
import { Choices, TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Sheet, WentWrong } from '../parts/sheet.tsx';
import { Help } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { Clock } from './Clock.tsx';
import { RecallAnswer } from './RecallAnswer.tsx';
import type { Question } from './recallQuestion.ts';

type Of = 'lot' | 'batch';

/** An answer with when it was asked and how long it took. */
interface Answered {
  readonly recall: Schemas['Recall'];
  readonly askedAt: string;
  readonly seconds: number;
}

export function RecallPage() {
  const { audit: say } = words.value;
  const [address, setAddress] = useSearchParams();
  const of: Of = address.get('of') === 'batch' ? 'batch' : 'lot';
  const key = address.get('key') ?? '';
  const part = address.get('part') ?? '';
  // Asked again, the same question is another drill.
  const [drill, setDrill] = useState(0);
  const question: Question | null =
    key === ''
      ? null
      : of === 'batch'
        ? { batch: key }
        : { lot: key, ...(part === '' ? {} : { part }) };
  return (
    <Sheet title={say.recallTitle}>
      <p>
        {say.recallIntro}{' '}
        <Link href="/long-work?ask=recall_of_many">{words.value.work.manyAtOnce}</Link>
      </p>
      <RecallQuestion
        key={`${of} ${key} ${part}`}
        of={of}
        value={key}
        part={part}
        onAsk={(kind, value, ofPart) => {
          setAddress(
            new URLSearchParams({
              of: kind,
              key: value,
              ...(ofPart === '' || kind === 'batch' ? {} : { part: ofPart }),
            }),
          );
          setDrill(drill + 1);
        }}
      />
      {question !== null && <Drill key={`${of} ${key} ${part} ${drill}`} question={question} />}
    </Sheet>
  );
}

function Drill({ question }: { question: Question }) {
  const [since] = useState(() => performance.now());
  const { data, error, refetch } = useQuery({
    queryKey: ['recall', question, since],
    // Each asking is noted in the record: nothing is asked again by itself.
    staleTime: Infinity,
    gcTime: 0,
    queryFn: async (): Promise<Answered> => {
      const from = performance.now();
      const askedAt = new Date().toISOString();
      const recall = await answered(api.GET('/api/v1/recall', { params: { query: question } }));
      return { recall, askedAt, seconds: (performance.now() - from) / 1000 };
    },
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Clock since={since} />;
  return (
    <>
      <ChangedSince of={['recall', question, since]} again={refetch} />
      <RecallAnswer {...data} question={question} />
    </>
  );
}

function RecallQuestion({
  of: askedOf,
  value: askedValue,
  part: askedPart,
  onAsk,
}: {
  readonly of: Of;
  readonly value: string;
  readonly part: string;
  readonly onAsk: (of: Of, value: string, part: string) => void;
}) {
  const { audit: say } = words.value;
  const [of, setOf] = useState(askedOf);
  const [value, setValue] = useState(askedValue);
  const [part, setPart] = useState(askedPart);
  const [against, setAgainst] = useState<string>();
  const { data: parts } = useQuery({
    queryKey: ['parts'],
    queryFn: () => answered(api.GET('/api/v1/parts', { params: { query: { limit: 100 } } })),
  });
  const ask = (event: Event): void => {
    event.preventDefault();
    setAgainst(value.trim() === '' ? say.nothingAsked : undefined);
    if (value.trim() !== '') onAsk(of, value.trim(), part);
  };
  return (
    <form role="search" noValidate onSubmit={ask}>
      <Choices label={say.recallOf} name="of" of={say.recallsOf} value={of} onChoose={setOf} />
      <Help of={say.recallOf}>{words.value.help.lotOrBatch}</Help>
      <TextField
        label={of === 'lot' ? say.fields.lot : say.fields.batch}
        type="search"
        autocomplete="off"
        value={value}
        against={against}
        onInput={({ currentTarget }) => setValue(currentTarget.value)}
      />
      {of === 'lot' && (
        <SelectField
          label={say.partOfLot}
          hint={say.partOfLotHint}
          of={[
            ['', say.everyPart] as const,
            ...(parts?.items ?? []).map(({ id, name }) => [id, name] as const),
          ]}
          value={part}
          onChoose={setPart}
        />
      )}
      <button class="act" type="submit">
        {say.askRecall}
      </button>
    </form>
  );
}
