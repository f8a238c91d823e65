/** A part used between 90 and 100 % of its rated body mass is acknowledged by signature (R3). */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Signing } from '../parts/signing.tsx';
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
  const [password, setPassword] = useState('');
  const { data: part } = useQuery({
    queryKey: ['part', chosen],
    enabled: chosen !== '',
    queryFn: () =>
      answered(api.GET('/api/v1/parts/{partId}', { params: { path: { partId: chosen } } })),
  });
  const parts = new Map(socket.hardware.map(({ partId, label }) => [partId, label]));
  const send = async (key: string): Promise<void> => {
    const params = { path: { socketId: socket.id }, header: once(key) };
    const body = { partId: chosen, signature: { password } };
    try {
      const { upToKg } = await answered(
        api.POST('/api/v1/sockets/{socketId}/mass-acknowledgements', { params, body }),
      );
      onDone(say.massAcknowledged(massWords(upToKg)));
    } finally {
      setPassword('');
    }
    await readAgain();
  };
  return (
    <>
      <h2>{say.acknowledgeTitle}</h2>
      <ActForm act={say.acknowledge} send={send}>
        {({ against }) => (
          <>
            <SelectField
              label={say.part}
              of={[['', say.choosePart] as const, ...parts]}
              value={chosen}
              against={against('/partId')}
              onChoose={setChosen}
            />
            <Signing
              meaning={say.meanings.mass_near_rating_acknowledged}
              content={[
                [say.order, socket.order.number],
                [say.part, part?.name ?? say.missing],
                [
                  say.ratedMass,
                  part?.ratedBodyMassKg == null ? say.missing : massWords(part.ratedBodyMassKg),
                ],
                [
                  say.bodyMass,
                  socket.bodyMassKg === null ? say.missing : massWords(socket.bodyMassKg),
                ],
              ]}
              password={password}
              onType={setPassword}
              against={against('/signature/password')}
            />
          </>
        )}
      </ActForm>
    </>
  );
}
