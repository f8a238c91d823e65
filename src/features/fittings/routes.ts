import { alignmentFigure } from '../../documents/figures/alignment.ts';
import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { listAlignments, measureAlignment, readDrawnAlignment } from './alignment.ts';
import { acceptAlignmentDifference } from './alignmentDifference.ts';
import {
  AcceptDifference,
  AlignmentBody,
  AlignmentMeasured,
  Alignments,
  DifferenceAccepted,
} from './alignmentSchemas.ts';
import { AcceptFit, FitAccepted, FitRejected, RejectFit, SocketParams } from './schemas.ts';
import { acceptFit, rejectFit } from './service.ts';

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
        'The patient stands on it: operations done, hardware in and rated, joints torqued, lock checked; a limb that changed since its cast is decided on first. The order goes on to lamination.',
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
      description:
        'R14: compared with the accepted alignment, component by component, and what must be undone (C6).',
      params: SocketParams,
      body: AlignmentBody,
      answer: AlignmentMeasured,
    },
    (act, { params, body }) => measureAlignment(act, params.socketId, body),
  );
  api.read(
    {
      url: '/api/v1/sockets/:socketId/alignments',
      name: 'listAlignments',
      tag,
      summary: 'Every alignment measured on a socket, against the accepted one',
      description:
        'Tilt and its direction, difference by component (R14), what the set screws must undo, and the range that pyramid and adapter have left (C6).',
      params: SocketParams,
      answer: Alignments,
    },
    (act, { params }) => listAlignments(act, params.socketId),
  );
  api.document(
    {
      url: '/api/v1/sockets/:socketId/alignment.svg',
      name: 'drawAlignment',
      tag,
      summary:
        'The newest alignment of a socket drawn from front and side, the accepted one dashed',
      params: SocketParams,
      contentType: 'image/svg+xml; charset=utf-8',
    },
    (act, { params }) => readDrawnAlignment(act, params.socketId),
    (record, { params }) => ({
      bytes: svgOf(alignmentFigure(record)),
      fileName: `alignment-${params.socketId}.svg`,
    }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/alignment-difference-acceptance',
      name: 'acceptAlignmentDifference',
      tag,
      summary: 'Accept by signature that the alignment differs from the accepted one',
      description:
        'R14, C6: for the alignment named, once. It must be the newest of the socket, of the hardware as it now sits, and out of tolerance or past the range of pyramid or adapter.',
      params: SocketParams,
      body: AcceptDifference,
      answer: DifferenceAccepted,
      reauthenticates: true,
    },
    (act, { params, body, signer }) =>
      acceptAlignmentDifference(act, params.socketId, body, signer),
  );
}
