/** What the drawing of a socket's joint shows: the joint as its hardware makes it now. */
import { jointCautions } from '../../domain/jointCautions.ts';
import { reason } from '../../domain/reasons/index.ts';
import { JOINTS, type JointKind } from '../../domain/words.ts';
import type { JointDrawing } from '../../documents/figures/joint.ts';
import { spokenFirst } from '../../documents/words.ts';
import type { Act } from '../../store/act.ts';
import { found } from '../../store/refused.ts';
import { loadAssembly } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';

/** @throws Refused 'not-found' where the socket has no such joint, or no setting of it is on record. */
export async function jointDrawing(
  act: Act,
  socketId: string,
  kind: JointKind,
): Promise<JointDrawing> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId);
  const { held, joints } = await loadAssembly(tx, clinicId, socketId);
  const words = `${kind.replaceAll('_', ' ')} joint`;
  const joint = found(
    joints.find((each) => each.kind === kind),
    () => reason('not-found', { what: words, id: socket.number }),
  );
  const setting = found(joint.setting, () =>
    reason('not-found', { what: `torque setting of the ${words}`, id: socket.number }),
  );
  const { needsScrews } = JOINTS[kind];
  const screws = held.find((item) => item.position === needsScrews);
  return {
    of: `${spokenFirst(kind)} joint of ${socket.number}: ${JOINTS[kind].words}`,
    fastenerCount: setting.fastenerCount,
    side: socket.side,
    setting,
    settingFrom: joint.settingFrom,
    status: joint.openBecause === null ? 'Confirmed.' : `OPEN: ${joint.openBecause}.`,
    cautions: jointCautions({ setting, singleUseScrews: screws?.part.singleUse === true }),
  };
}
