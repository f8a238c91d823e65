/** Another day promised for an order under way: one that is offered from where it is, or one agreed. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { useReadAgain } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import type { Order } from './order.ts';
import { offeredWords } from './PromisedDay.tsx';

export function AnotherDay({
  order: { id: orderId, version },
  offer,
}: {
  readonly order: Order;
  readonly offer: Schemas['OfferFromHere'];
}) {
  const { desk: say } = words.value;
  const readAgain = useReadAgain();
  const best = offer.withChance ?? offer.usual;
  const [choice, setChoice] = useState<'best' | 'wished'>('best');
  const [wishedDay, setWishedDay] = useState('');
  const send = async (): Promise<void> => {
    await answered(
      api.PATCH('/api/v1/orders/{orderId}', {
        params: { path: { orderId }, header: { 'if-match': `"${version}"` } },
        body: { promisedOn: choice === 'best' ? best.promisedOn : wishedDay },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.promiseAnother}</summary>
      <ActForm act={say.promiseAnother} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.promised}
              name="anotherDay"
              of={{ best: offeredWords(best), wished: say.wished }}
              value={choice}
              against={choice === 'best' ? against('/promisedOn') : undefined}
              onChoose={setChoice}
            />
            {choice === 'wished' && (
              <TextField
                label={say.newDay}
                type="date"
                value={wishedDay}
                against={against('/promisedOn')}
                onInput={({ currentTarget }) => setWishedDay(currentTarget.value)}
              />
            )}
          </>
        )}
      </ActForm>
    </details>
  );
}
