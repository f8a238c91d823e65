import type { Api } from '../../http/api.ts';
import {
  AcceptDifference,
  AcceptFit,
  AlignmentBody,
  AlignmentMeasured,
  DifferenceAccepted,
  FitAccepted,
  FitRejected,
  RejectFit,
  SocketParams,
} from './schemas.ts';
import { acceptAlignmentDifference, acceptFit, measureAlignment, rejectFit } from './service.ts';

const tag = 'Fit and alignment';

/** The prosthetist's judgement of a check socket, and alignments. */
export function fittingRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/fit-acceptance',
      name: 'acceptFit',
      tag,
      summary: 'Accept the fit of a check socket, signed, with its alignment',
      description:
        'The patient stands on it: operations done, hardware in and rated, joints torqued, lock checked. The order goes on to lamination.',
      params: SocketParams,
      body: AcceptFit,
      answer: FitAccepted,
      reauthenticates: true,
    },
    (act, { params, body, signer }) => acceptFit(act, params.socketId, body, signer),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/fit-rejection',
      name: 'rejectFit',
      tag,
      summary: 'Refuse the fit of a check socket: why, where, what next',
      params: SocketParams,
      body: RejectFit,
      answer: FitRejected,
    },
    (act, { params, body }) => rejectFit(act, params.socketId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/alignments',
      name: 'measureAlignment',
      tag,
      summary: 'Record the alignment of a socket as its hardware now sits',
      description: 'R14: compared with the accepted alignment, component by component.',
      params: SocketParams,
      body: AlignmentBody,
      answer: AlignmentMeasured,
    },
    (act, { params, body }) => measureAlignment(act, params.socketId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/alignment-difference-acceptance',
      name: 'acceptAlignmentDifference',
      tag,
      summary: 'Accept by signature that the alignment differs from the accepted one',
      params: SocketParams,
      body: AcceptDifference,
      answer: DifferenceAccepted,
      reauthenticates: true,
    },
    (act, { params, body, signer }) =>
      acceptAlignmentDifference(act, params.socketId, body.why, signer),
  );
}
