/** A part used between 90 and 100 % of its rated body mass is acknowledged by signature (R3). */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { SelectField } from '../parts/selectField.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { massWords } from '../words/units.ts';
import { words } from '../words/words.ts';

export function AcknowledgeMass({
  socket,
  onDone,
}: {
  readonly socket: Schemas['Socket'];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [chosen, setChosen] = useState('');
  const parts = new Map(socket.hardware.map(({ partId, label }) => [partId, label]));
  const path = { socketId: socket.id };
  return (
    <>
      <h2>{say.acknowledgeTitle}</h2>
      <SignedForm
        act={say.acknowledge}
        body={{ partId: chosen }}
        ask={(body) =>
          answered(
            api.POST('/api/v1/sockets/{socketId}/mass-acknowledgements/to-sign', {
              params: { path },
              body,
            }),
          )
        }
        sign={async (key, body, signature) => {
          const { upToKg } = await answered(
            api.POST('/api/v1/sockets/{socketId}/mass-acknowledgements', {
              params: { path, header: once(key) },
              body: { ...body, signature },
            }),
          );
          onDone(say.massAcknowledged(massWords(upToKg)));
          await readAgain();
        }}
      >
        {({ against }) => (
          <SelectField
            label={say.part}
            of={[['', say.choosePart] as const, ...parts]}
            value={chosen}
            against={against('/partId')}
            onChoose={setChosen}
          />
        )}
      </SignedForm>
    </>
  );
}
