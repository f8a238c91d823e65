/** One joint at the torque wrench: tool and threadlocker, then screw after screw, pass after pass. */
import { answered, api } from '../api.ts';
import { Drawing } from '../parts/drawing.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { useShopTools, type Joint, type Socket } from './record.ts';
import { SocketPage } from './SocketPage.tsx';
import { TorqueForm } from './TorqueForm.tsx';

export const Torque = ({
  params: { socketId, kind },
}: {
  params: { socketId: string; kind: string };
}) => {
  const { bench: say } = words.value;
  return (
    <SocketPage
      socketId={socketId}
      title={`${say.torqueOf} ${kind in say.joints ? say.joints[kind as Joint['kind']] : kind}`}
    >
      {(socket) => {
        const joint = socket.joints.find((each) => each.kind === kind);
        if (joint === undefined) return <p class="caution">{say.noJoint}</p>;
        return <OfJoint socket={socket} joint={joint} />;
      }}
    </SocketPage>
  );
};

function OfJoint({ socket, joint }: { readonly socket: Socket; readonly joint: Joint }) {
  const { bench: say } = words.value;
  const tools = useShopTools('torque_tool');
  if (joint.setting === null) return <p class="caution">{say.noSetting}</p>;
  return (
    <>
      <p class={joint.confirmed ? 'stands' : 'stands against'} role="status">
        {joint.confirmed ? say.stands.confirmed : `${say.stands.open}: ${joint.openBecause ?? ''}`}
      </p>
      <WentWrong failure={tools.error} retry={() => void tools.refetch()} />
      {tools.data === undefined ? (
        <Loading />
      ) : (
        <TorqueForm
          key={joint.items.map(({ label }) => label).join()}
          socket={socket}
          joint={joint}
          setting={joint.setting}
          tools={tools.data.items}
        />
      )}
      <div class="wide-figure" tabIndex={0} role="region" aria-label={say.drawing}>
        <Drawing
          name={['joint', socket.id, joint.kind, String(joint.confirmed)]}
          words={say.drawingOf(say.joints[joint.kind])}
          read={() =>
            answered(
              api.GET('/api/v1/sockets/{socketId}/joints/{jointKind}/drawing.svg', {
                params: { path: { socketId: socket.id, jointKind: joint.kind } },
                parseAs: 'text',
              }),
            )
          }
        />
      </div>
    </>
  );
}
