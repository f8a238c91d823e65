/** The dummy that holds the lock's place while resin is drawn through: mounted before, pulled after the cure. */
import { useState } from 'preact/hooks';
import { useReadAgain } from '../parts/act.ts';
import { openActsOf } from '../offline/acts.ts';
import { ActForm } from '../parts/form.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import { keptMoveAt } from './keptHere.ts';
import { recordMove } from './move.ts';
import { ScanFor } from './scan/ScanFor.tsx';
import { usePlaces, useShopTools, type Socket } from './record.ts';

export function ShopDummy({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const mounted = socket.shopTools.find(({ position }) => position === 'dummy');
  if (socket.order.suspension !== 'pin_lock' && mounted === undefined) return null;
  const kept = keptMoveAt(openActsOf(socket.id), socket.id, 'dummy');
  return (
    <section>
      <h2>{say.positions.dummy}</h2>
      <p>
        <strong>
          {mounted === undefined ? say.stands.noDummy : say.stands.dummyIn(mounted.name)}
        </strong>
      </p>
      {kept !== undefined ? (
        <p>
          {kept.said}: {words.value.offline.notYet}
        </p>
      ) : mounted !== undefined ? (
        <Pull socket={socket} shopToolId={mounted.shopToolId} name={mounted.name} />
      ) : (
        socket.curedAt === null && <Mount socket={socket} />
      )}
    </section>
  );
}

function Mount({ socket }: { readonly socket: Socket }) {
  const socketId = socket.id;
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const { data } = useShopTools('fabrication_dummy');
  const free = (data?.items ?? []).filter(
    ({ place, outOfService }) =>
      !outOfService && (place?.kind === 'bin' || place?.kind === 'bench'),
  );
  const [toolId, setToolId] = useState('');
  const tool = free.find(({ id }) => id === toolId);
  return (
    <ActForm
      act={say.dummyMount}
      send={async (key) => {
        if (tool?.place == null) return;
        await recordMove(
          socket,
          tool.name,
          {
            thing: { shopToolId: tool.id },
            from:
              tool.place.kind === 'bin'
                ? { kind: 'bin', placeId: tool.place.id }
                : { kind: 'bench' },
            to: { kind: 'socket_position', socketId, position: 'dummy' },
            reason: 'mounted_for_lamination',
          },
          key,
        );
        await readAgain();
      }}
    >
      {() => (
        <>
          <SelectField
            label={say.whichDummy}
            of={[
              ['', say.choose],
              ...free.map(
                ({ id, name, holePattern, place }) =>
                  [id, [name, holePattern, place?.name].filter(Boolean).join(' · ')] as const,
              ),
            ]}
            value={toolId}
            onChoose={setToolId}
          />
          {free.length > 0 && (
            <ScanFor
              what={say.whichDummy}
              among={free.map(({ id, name, serial }) => ({ id, codes: [serial, name] }))}
              onFound={setToolId}
            />
          )}
        </>
      )}
    </ActForm>
  );
}

function Pull({
  socket,
  shopToolId,
  name,
}: {
  readonly socket: Socket;
  readonly shopToolId: string;
  readonly name: string;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const bins = (usePlaces().data?.items ?? []).filter(({ kind }) => kind === 'bin');
  const [binId, setBinId] = useState('');
  return (
    <ActForm
      act={say.dummyPull}
      send={async (key) => {
        await recordMove(
          socket,
          name,
          {
            thing: { shopToolId },
            from: { kind: 'socket_position', socketId: socket.id, position: 'dummy' },
            to: binId === '' ? { kind: 'bench' } : { kind: 'bin', placeId: binId },
            reason: 'pulled_after_cure',
          },
          key,
        );
        await readAgain();
      }}
    >
      {() => (
        <SelectField
          label={say.intoBin}
          of={[['', say.ontoBench], ...bins.map(({ id, name }) => [id, name] as const)]}
          value={binId}
          onChoose={setBinId}
        />
      )}
    </ActForm>
  );
}
