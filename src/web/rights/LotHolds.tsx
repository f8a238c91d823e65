/** Legal holds on lots of parts: on a part's own page, and beside the recall of a lot. */
import { useQueries } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { InForce, Place } from './Holds.tsx';

export function LotHolds({
  parts,
  lot,
}: {
  readonly parts: readonly { readonly id: string; readonly name: string }[];
  /** Left out where all lots of the parts are meant. */
  readonly lot?: string;
}) {
  const { rights: say } = words.value;
  const answers = useQueries({
    queries: parts.map(({ id }) => ({
      queryKey: ['holds', id, lot ?? ''],
      queryFn: () =>
        answered(
          api.GET('/api/v1/parts/{partId}/legal-holds', {
            params: { path: { partId: id }, query: lot === undefined ? {} : { lot } },
          }),
        ),
    })),
  });
  const failure = answers.find(({ error }) => error !== null)?.error ?? null;
  const holds = answers.flatMap(({ data }) => data?.items ?? []);
  return (
    <section>
      <h2>{lot === undefined ? say.lotsHolds : say.lotHolds}</h2>
      <p class="hint">{say.lotHoldsHint}</p>
      <WentWrong failure={failure} />
      {answers.every(({ data }) => data !== undefined) && <InForce holds={holds} />}
      {may('administrator') && <PlaceOnLot parts={parts} lot={lot} />}
    </section>
  );
}

function PlaceOnLot({
  parts,
  lot,
}: {
  readonly parts: readonly { readonly id: string; readonly name: string }[];
  readonly lot: string | undefined;
}) {
  const { rights: say } = words.value;
  const [partId, setPartId] = useState(parts[0]?.id ?? '');
  const [typed, setTyped] = useState('');
  return (
    <Place of={{ partId, lot: lot ?? typed.trim() }} act={say.placeOnLot}>
      {(against) => (
        <>
          {parts.length > 1 && (
            <SelectField
              label={say.part}
              of={parts.map(({ id, name }) => [id, name] as const)}
              value={partId}
              against={against('/partId')}
              onChoose={setPartId}
            />
          )}
          {lot === undefined && (
            <TextField
              label={say.lot}
              autocomplete="off"
              value={typed}
              against={against('/lot')}
              onInput={({ currentTarget }) => setTyped(currentTarget.value)}
            />
          )}
        </>
      )}
    </Place>
  );
}
