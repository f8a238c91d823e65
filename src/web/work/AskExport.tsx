/** The record, of the clinic or of one order, as one JSON value a line. */
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import { useAsk } from './useAsk.ts';

export function AskExport() {
  const { work: say } = words.value;
  const ask = useAsk();
  const [number, setNumber] = useState('');
  const send = async (key: string): Promise<void> => {
    const typed = number.trim();
    const order =
      typed === ''
        ? undefined
        : await answered(
            api.GET('/api/v1/orders/by-number/{number}', { params: { path: { number: typed } } }),
          );
    await ask(
      { kind: 'record_export', ...(order === undefined ? {} : { orderId: order.id }) },
      key,
    );
    setNumber('');
  };
  return (
    <ActForm act={say.askExport} send={send}>
      {({ against }) => (
        <>
          <p>{say.exportIntro}</p>
          <TextField
            label={say.orderNumber}
            hint={say.orderNumberHint}
            autocomplete="off"
            value={number}
            against={against('/number')}
            onInput={({ currentTarget }) => setNumber(currentTarget.value)}
          />
        </>
      )}
    </ActForm>
  );
}
