/** The days that can be promised, each with its chance; one that the caller wishes for; or none. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { answered, api, Problem, type Schemas } from '../api.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { chanceWords, dayWords, words } from '../words/words.ts';
import { dayChoice, type Draft, type Offer } from './draft.ts';

export function PromisedDay({
  draft,
  offer,
  against,
  onChange,
}: {
  readonly draft: Draft;
  readonly offer: Offer | undefined;
  readonly against: string | undefined;
  readonly onChange: (change: Partial<Draft>) => void;
}) {
  const { desk: say } = words.value;
  const choice = dayChoice(draft, offer);
  const wished = useWished(choice === 'wished' ? draft.wishedDay : '', offer);
  const refused = wished.error instanceof Problem ? wished.error.message : undefined;
  const of = {
    ...(offer?.withChance == null
      ? {}
      : { likely: `${offeredWords(offer.withChance)}: ${say.likely}` }),
    ...(offer === undefined ? {} : { usual: `${offeredWords(offer.usual)}: ${say.usual}` }),
    wished: say.wished,
    none: say.noDay,
  };
  return (
    <>
      <Choices
        label={say.promised}
        name="day"
        of={of as Readonly<Record<keyof typeof of, string>>}
        value={choice}
        against={choice === 'wished' ? undefined : against}
        {...(offer === undefined ? {} : { hint: groundsOf(offer) })}
        onChoose={(day) => onChange({ day })}
      />
      {choice === 'wished' && (
        <TextField
          label={say.wishedDay}
          type="date"
          value={draft.wishedDay}
          {...(offer === undefined ? {} : { min: offer.today })}
          against={against ?? refused}
          {...(wished.data?.asked == null || refused !== undefined
            ? {}
            : { hint: offeredWords(wished.data.asked) })}
          onInput={({ currentTarget }) => onChange({ wishedDay: currentTarget.value })}
        />
      )}
    </>
  );
}

/** The chance of a wished day, drawn with the seed of the first offer. */
const useWished = (wishedDay: string, offer: Offer | undefined) =>
  useQuery({
    queryKey: ['offer', wishedDay, offer?.seed],
    enabled: offer !== undefined && wishedDay !== '',
    placeholderData: keepPreviousData,
    queryFn: () =>
      answered(
        api.GET('/api/v1/dates/offer', {
          params: {
            query: {
              promisedOn: wishedDay,
              ...(offer === undefined ? {} : { seed: offer.seed }),
            },
          },
        }),
      ),
  });

/** `Tue, 24 Mar 2026, 83 in 100 are kept`. */
export const offeredWords = ({ promisedOn, chance }: Schemas['DateOffer']): string =>
  `${dayWords(promisedOn)}, ${chance === null ? words.value.desk.noChance : chanceWords(chance)}`;

/** What the chances rest on, or why there are none. */
const groundsOf = ({ because, finishedOrders }: Offer): string =>
  because.length === 0
    ? words.value.desk.drawnFrom(finishedOrders)
    : because.map(({ detail }) => detail).join(' ');
