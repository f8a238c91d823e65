import type { Api } from '../../http/api.ts';
import {
  ChainPage,
  ChainQuery,
  RecordHead,
  VerificationNoted,
  VerificationToNote,
} from './schemas.ts';
import { noteVerification, readChain, readHead } from './service.ts';

export function recordRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/record/head',
      name: 'readRecordHead',
      tag: 'History',
      summary: 'Where the record’s chain stands',
      description:
        'Number and chain value of the newest event. Noted somewhere else, on paper, they show later that everything up to here is still in the record.',
      answer: RecordHead,
    },
    (act) => readHead(act),
  );
  api.read(
    {
      url: '/api/v1/record/events',
      name: 'readRecordEvents',
      tag: 'History',
      summary: 'Events with all that is hashed of them, to be verified by the reader',
      description:
        'In the order of the chain. A leaf is the SHA-256 of the event’s RFC 8785 canonical JSON; a chain value the SHA-256 of the chain value before (64 noughts before the first) and the leaf, both as lower-case hexadecimal. A seal is the SHA-256 of the canonical JSON of `[salt, value]`.',
      query: ChainQuery,
      answer: ChainPage,
    },
    (act, { query }) => readChain(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/record/verifications',
      name: 'noteVerification',
      tag: 'History',
      summary: 'Note what was found when the record was verified',
      body: VerificationToNote,
      answer: VerificationNoted,
    },
    (act, { body }) => Promise.resolve(noteVerification(act, body)),
  );
}
