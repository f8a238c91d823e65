/** A hold beside the stage: why and since when, put on and taken off. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { Order } from './order.ts';

type Given = Schemas['HoldGivenInput'];

export function Hold({ order }: { readonly order: Order }) {
  const { desk: say, holds } = words.value;
  const instantWords = useInstantWords();
  const mayHold = may('front_desk', 'technician', 'prosthetist');
  if (order.holdReason !== null) {
    return (
      <div class="problem">
        <strong>
          {say.heldSince} {order.heldAt === null ? '' : instantWords(order.heldAt)}:{' '}
          {holds[order.holdReason]}
        </strong>
        {mayHold && <Resume orderId={order.id} />}
      </div>
    );
  }
  const closed = order.stage === 'delivered' || order.stage === 'cancelled';
  return mayHold && !closed ? <PutOnHold orderId={order.id} /> : null;
}

function PutOnHold({ orderId }: { readonly orderId: string }) {
  const { desk: say, holds } = words.value;
  const readAgain = useReadAgain();
  const [holdReason, setHoldReason] = useState<Given['holdReason']>();
  const [note, setNote] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/orders/{orderId}/hold', {
        params: { path: { orderId }, header: once(key) },
        // Left out where nothing is chosen: the service says that it is missing.
        body: { holdReason, ...(note.trim() === '' ? {} : { note }) } as Given,
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.hold}</summary>
      <ActForm act={say.hold} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.holdReason}
              name="holdReason"
              of={holds}
              value={holdReason}
              against={against('/holdReason')}
              onChoose={setHoldReason}
            />
            <NoteField label={say.note} value={note} against={against('/note')} onType={setNote} />
          </>
        )}
      </ActForm>
    </details>
  );
}

function Resume({ orderId }: { readonly orderId: string }) {
  const readAgain = useReadAgain();
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/orders/{orderId}/resume', {
        params: { path: { orderId }, header: once(key) },
      }),
    );
    await readAgain();
  };
  return (
    <ActForm act={words.value.desk.resume} send={send}>
      {() => null}
    </ActForm>
  );
}
