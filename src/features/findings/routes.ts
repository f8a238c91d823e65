import type { Api } from '../../http/api.ts';
import { BODY_WITH_PICTURES_BYTES } from '../photos/schemas.ts';
import {
  AcceptFinding,
  DisposeOfFinding,
  FindingAccepted,
  FindingClosed,
  FindingParams,
  FindingReported,
  ReportFinding,
  SocketParams,
} from './schemas.ts';
import { acceptFinding, disposeOfFinding, reportFinding } from './service.ts';

const tag = 'Findings';

/** Something wrong, and how it was closed. */
export function findingRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/findings',
      name: 'reportFinding',
      tag,
      summary: 'Report a finding on a socket',
      description:
        'An open finding stands in the way of delivery (R8). Its photos are kept in the same act, as base64 within the JSON: a phone that queues what it could not send queues one body under one key, and there is never a finding without its photos or a photo without its finding.',
      params: SocketParams,
      body: ReportFinding,
      bodyLimitBytes: BODY_WITH_PICTURES_BYTES,
      answer: FindingReported,
    },
    (act, { params, body }) => reportFinding(act, params.socketId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/findings/:findingId/disposition',
      name: 'disposeOfFinding',
      tag,
      summary: 'Close a finding by rework, remake or scrap',
      params: FindingParams,
      body: DisposeOfFinding,
      answer: FindingClosed,
    },
    (act, { params, body }) => disposeOfFinding(act, params.findingId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/findings/:findingId/acceptance',
      name: 'acceptFinding',
      tag,
      summary: 'Accept a finding as it is, signed and with the reason',
      params: FindingParams,
      body: AcceptFinding,
      answer: FindingAccepted,
      reauthenticates: true,
    },
    (act, { params, body, signer }) => acceptFinding(act, params.findingId, body.why, signer),
  );
}
