/** The gate is open: who receives the limb, and the prosthetist's signature on what is released. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { words } from '../words/words.ts';

export function Deliver({
  order,
  socket,
  onDone,
}: {
  readonly order: Schemas['Order'];
  readonly socket: Schemas['Socket'];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [name, setName] = useState('');
  const [relation, setRelation] = useState('');
  const { givenName, familyName } = order.patient;
  const isPatient = (): void => {
    if (givenName !== undefined && familyName !== undefined) setName(`${givenName} ${familyName}`);
    setRelation(say.relationPatient);
  };
  const path = { orderId: order.id };
  const body = { socketId: socket.id, receivedByName: name, receivedByRelation: relation };
  return (
    <SignedForm
      act={say.deliver}
      body={body}
      ask={(asked) =>
        answered(
          api.POST('/api/v1/orders/{orderId}/delivery/to-sign', { params: { path }, body: asked }),
        )
      }
      sign={async (key, released, signature) => {
        const made = await answered(
          api.POST('/api/v1/orders/{orderId}/delivery', {
            params: { path, header: once(key) },
            body: { ...released, signature },
          }),
        );
        onDone(say.delivered(socket.number, made.retired, made.releaserWasSoleWorker));
        await readAgain();
      }}
    >
      {({ against }) => (
        <>
          <h2>{say.whoReceives}</h2>
          <button type="button" onClick={isPatient}>
            {say.patientReceives}
          </button>
          <TextField
            label={say.receivedBy}
            hint={say.receivedByHint}
            autocomplete="off"
            value={name}
            against={against('/receivedByName')}
            onInput={({ currentTarget }) => setName(currentTarget.value)}
          />
          <TextField
            label={say.relation}
            hint={say.relationHint}
            autocomplete="off"
            value={relation}
            against={against('/receivedByRelation')}
            onInput={({ currentTarget }) => setRelation(currentTarget.value)}
          />
        </>
      )}
    </SignedForm>
  );
}
