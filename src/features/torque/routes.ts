import { jointFigure } from '../../documents/figures/joint.ts';
import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { jointDrawing } from './drawing.ts';
import {
  CheckLock,
  ConfirmTorque,
  JointDrawingQuery,
  JointParams,
  LockChecked,
  SocketParams,
  TorqueConfirmed,
} from './schemas.ts';
import { checkLock, confirmTorque } from './service.ts';

const tag = 'Torque and lock';
const contentType = 'image/svg+xml; charset=utf-8';

/** Torque by joint and the functional check of the lock. */
export function torqueRoutes(api: Api): void {
  api.document(
    {
      url: '/api/v1/torque/joint.svg',
      name: 'drawJointOrder',
      tag,
      summary: 'The order of tightening for so many screws, and its passes, drawn',
      description:
        'Across for four, star for five; three passes: snug, half, full. Common practice, no source: the maker’s instructions go before it.',
      query: JointDrawingQuery,
      contentType,
    },
    (_act, { query: { fasteners, side } }) =>
      Promise.resolve({
        of: null,
        fastenerCount: fasteners,
        side: side ?? null,
        setting: null,
        settingFrom: null,
        status: null,
        cautions: [],
      }),
    (drawing) => ({
      bytes: svgOf(jointFigure(drawing)),
      fileName: `joint-${drawing.fastenerCount}.svg`,
    }),
  );
  api.document(
    {
      url: '/api/v1/sockets/:socketId/joints/:jointKind/drawing.svg',
      name: 'drawJoint',
      tag,
      summary: 'One joint of a socket, drawn: screws, order, passes in N·m, setting, cautions',
      description:
        'The joint as the hardware in the socket makes it now, with the setting’s document and revision and the cautions that hold whichever tool is taken.',
      params: JointParams,
      contentType,
    },
    (act, { params: { socketId, jointKind } }) => jointDrawing(act, socketId, jointKind),
    (drawing, { params: { jointKind } }) => ({
      bytes: svgOf(jointFigure(drawing)),
      fileName: `joint-${jointKind}.svg`,
    }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/joints/:jointKind/confirmations',
      name: 'confirmTorque',
      tag,
      summary: 'Record the torque readings of one joint',
      description:
        "R4: every fastener needs a reading inside the setting's band less the tool's permissible deviation (ISO 6789-1; taking it as guard band is our own, cautious rule in the manner of JCGM 106). The tool's range must cover the setting and its calibration be valid that day. Readings out of band are kept and do not confirm. Stored in N·m; 1 lbf·in = 0.112984829 N·m (NIST SP 811). Any later move of a part of the joint opens it again. Recorded earlier than it arrives, it says what it was made upon; where anything else touched the joint since, it is refused, and judged by the day of the work as well as that of arrival. Follow the maker's instructions.",
      params: JointParams,
      body: ConfirmTorque,
      answer: TorqueConfirmed,
    },
    async (act, { params, body }) => {
      const made = await confirmTorque(act, params.socketId, params.jointKind, body);
      return { ...made, because: [...made.because], readings: [...made.readings] };
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/lock-checks',
      name: 'checkLock',
      tag,
      summary: 'Record a functional check of the lock',
      description:
        'R7: pin in, clicks counted, held under pull, released by the button, repeated. A failed check is kept and does not count; one that passed counts until lock or pin moves. Recorded earlier than it arrives, it is refused where lock or pin was touched since.',
      params: SocketParams,
      body: CheckLock,
      answer: LockChecked,
    },
    async (act, { params, body }) => {
      const made = await checkLock(act, params.socketId, body);
      return { ...made, because: [...made.because] };
    },
  );
}
