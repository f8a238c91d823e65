import { drawHeadNotice } from '../../documents/headNotice.ts';
import type { Api } from '../../http/api.ts';
import {
  ConsistencyProof,
  ConsistencyQuery,
  HeadPage,
  HeadParams,
  HeadQuery,
  InclusionProof,
  InclusionQuery,
  SignedHeadView,
  SigningKeyList,
} from './headSchemas.ts';
import {
  proveConsistency,
  proveInclusion,
  readHeads,
  readKeys,
  readNotice,
  signNow,
} from './heads.ts';
import type { HeadSigner } from './signer.ts';

const tag = 'History';

/** @param signer left out where the service has no key: heads are read and proven, none is signed */
export function headRoutes(api: Api, signer: HeadSigner | undefined): void {
  api.read(
    {
      url: '/api/v1/record/heads',
      name: 'readSignedHeads',
      tag,
      summary: 'Signed heads of the record',
      description:
        'The newest first. Each says how many events there were, the root of their RFC 9162 tree and their chain value, under the service’s Ed25519 key. A leaf holds the 32 raw bytes of an event’s `leafSha256`.',
      query: HeadQuery,
      answer: HeadPage,
    },
    (act, { query }) => readHeads(act, query, signer !== undefined),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/record/heads',
      name: 'signHeadNow',
      tag,
      summary: 'Sign where the record stands now',
      description: 'Beside the daily one: before an audit, or where something is to be handed on.',
      answer: SignedHeadView,
    },
    (act) => signNow(act, signer),
  );
  api.read(
    {
      url: '/api/v1/record/keys',
      name: 'readSigningKeys',
      tag,
      summary: 'Public keys under which heads are signed, as JWK and PEM, in their order',
      answer: SigningKeyList,
    },
    (act) => readKeys(act),
  );
  api.read(
    {
      url: '/api/v1/record/heads/:number/inclusion',
      name: 'proveInclusion',
      tag,
      summary: 'Prove that an event is under a head',
      params: HeadParams,
      query: InclusionQuery,
      answer: InclusionProof,
      alsoRefuses: [409],
    },
    (act, { params, query }) => proveInclusion(act, params.number, query.event),
  );
  api.read(
    {
      url: '/api/v1/record/heads/:number/consistency',
      name: 'proveConsistency',
      tag,
      summary: 'Prove that a head holds all that an earlier one held',
      params: HeadParams,
      query: ConsistencyQuery,
      answer: ConsistencyProof,
      alsoRefuses: [409],
    },
    (act, { params, query }) => proveConsistency(act, params.number, query.from),
  );
  api.document(
    {
      url: '/api/v1/record/heads/:number/notice.pdf',
      name: 'printHeadNotice',
      tag,
      summary: 'A head on paper, to be kept away from the service',
      description: 'With statement, signature and public key as a two-dimensional code.',
      params: HeadParams,
      contentType: 'application/pdf',
    },
    (act, { params }) => readNotice(act, params.number),
    async ({ record, ...makings }, { params }) => ({
      bytes: await drawHeadNotice(record, makings),
      fileName: `record-head-${params.number}.pdf`,
    }),
  );
}
