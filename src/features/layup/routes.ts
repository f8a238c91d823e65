import { sectionFigure } from '../../documents/figures/section.ts';
import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { loadLayup } from '../../store/layups.ts';
import {
  ApproveLayup,
  LayupParams,
  LayupToDraft,
  LayupView,
  ProposalQuery,
  ProposalView,
  SocketParams,
} from './schemas.ts';
import { approve, draftLayup, readNewestLayup, readProposal } from './service.ts';

const tag = 'Layup';

/** The layup of each definitive socket, from the rules' proposal to the prosthetist's signature. */
export function layupRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/sockets/:socketId/layup/proposal',
      name: 'proposeLayup',
      tag,
      summary: 'What the layup rules propose for a socket, with cut list and figures',
      description:
        'By the present body mass of the patient, functional level, level, the measures of the cast and the rules in force. Past the top body mass of the rules nothing is proposed: the prosthetist writes the layup.',
      params: SocketParams,
      query: ProposalQuery,
      answer: ProposalView,
    },
    (act, { params, query }) => readProposal(act, params.socketId, query.resinProductId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sockets/:socketId/layups',
      name: 'draftLayup',
      tag,
      summary: 'Draft the layup of a socket',
      description:
        'Worked out and kept with all that it was worked out from; it supersedes the one before. Not once a lamination of the socket is on record.',
      params: SocketParams,
      body: LayupToDraft,
      answer: LayupView,
    },
    (act, { params, body }) => draftLayup(act, params.socketId, body),
  );
  api.read(
    {
      url: '/api/v1/sockets/:socketId/layup',
      name: 'readLayup',
      tag,
      summary: 'The newest layup of a socket',
      params: SocketParams,
      answer: LayupView,
    },
    (act, { params }) => readNewestLayup(act, params.socketId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/layups/:layupId/approval',
      name: 'approveLayup',
      tag,
      summary: 'Approve a layup, signed',
      description:
        'The signature is bound to layers, figures and basis. Refused where the basis no longer holds: another row of the rules is for the patient by now, or a sheet has changed. Laying up that was done by another layup is to be recorded again.',
      params: LayupParams,
      body: ApproveLayup,
      answer: LayupView,
      reauthenticates: true,
    },
    (act, { params, signer }) => approve(act, params.layupId, signer),
  );
  api.document(
    {
      url: '/api/v1/layups/:layupId/section.svg',
      name: 'drawLayupSection',
      tag,
      summary: 'A layup drawn as a section, from the inside to the outside',
      params: LayupParams,
      contentType: 'image/svg+xml; charset=utf-8',
    },
    (act, { params }) => loadLayup(act, params.layupId),
    (layup) => ({
      bytes: svgOf(sectionFigure({ ...layup, approved: layup.approvedAt !== null })),
      fileName: `layup-${layup.socketNumber.replaceAll('/', '-')}-${layup.running}.svg`,
    }),
  );
}
