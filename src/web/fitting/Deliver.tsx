/** The gate is open: who receives the limb, and the prosthetist's signature on what is released. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Signing } from '../parts/signing.tsx';
import { massWords } from '../words/units.ts';
import { words } from '../words/words.ts';
import { HardwareWords } from './HardwareWords.tsx';

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
  const [password, setPassword] = useState('');
  const { givenName, familyName } = order.patient;
  const isPatient = (): void => {
    if (givenName !== undefined && familyName !== undefined) setName(`${givenName} ${familyName}`);
    setRelation(say.relationPatient);
  };
  const send = async (key: string): Promise<void> => {
    const params = { path: { orderId: order.id }, header: once(key) };
    const body = {
      socketId: socket.id,
      receivedByName: name,
      receivedByRelation: relation,
      signature: { password },
    };
    try {
      const made = await answered(api.POST('/api/v1/orders/{orderId}/delivery', { params, body }));
      onDone(say.delivered(socket.number, made.retired, made.releaserWasSoleWorker));
    } finally {
      setPassword('');
    }
    await readAgain();
  };
  return (
    <ActForm act={say.deliver} send={send}>
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
          <Signing
            meaning={say.meanings.delivery_released}
            content={[
              [say.order, order.number],
              [say.socket, socket.number],
              [say.bodyMass, socket.bodyMassKg === null ? say.none : massWords(socket.bodyMassKg)],
              [say.receivedBy, name.trim() === '' ? say.missing : name],
              [say.relation, relation.trim() === '' ? say.missing : relation],
              [say.lockCheck, socket.lockCheckedNow === null ? null : say.lockChecked],
              [say.soleWorkerTitle, say.soleWorkerWords],
              [say.hardware, <HardwareWords of={socket.hardware} />],
              [
                say.jointsTitle,
                <Plain
                  of={socket.joints.map(({ kind, confirmed }) =>
                    say.jointIs(say.joints[kind], confirmed),
                  )}
                />,
              ],
              [
                say.operations,
                <Plain
                  of={socket.operations.map(({ title, state }) =>
                    say.operationOpen(title, say.operationStates[state]),
                  )}
                />,
              ],
            ]}
            password={password}
            onType={setPassword}
            against={against('/signature/password')}
          />
        </>
      )}
    </ActForm>
  );
}

const Plain = ({ of }: { of: readonly string[] }) => (
  <ul class="plain">
    {of.map((each) => (
      <li key={each}>{each}</li>
    ))}
  </ul>
);
