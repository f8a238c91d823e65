import type { Api } from '../../http/api.ts';
import { PartView } from '../catalogue/schemas.ts';
import {
  LabelRead,
  PartDraftPage,
  PartDraftParams,
  PartDraftQuery,
  PartDraftView,
  PartOfDraft,
  ReceiveScanned,
  ScannedLabel,
  ScanReceived,
  SetDraftAside,
} from './schemas.ts';
import { findDrafts, makePartOf, readLabel, receiveScanned, setAside } from './service.ts';

const tag = 'Labels';

/** Scanned labels, and the drafts of catalogue entries that they leave. */
export function labelRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/udi/readings',
      name: 'readLabel',
      tag,
      summary: 'What a scanned label says, and what the catalogue knows of it',
      description:
        'GS1 (General Specifications: application identifiers, check digit) and HIBC (ANSI/HIBC 2.6: mod 43). What cannot be told apart is refused with the way out, never guessed; a case is never taken for its piece. Changes nothing.',
      body: ScannedLabel,
      answer: LabelRead,
    },
    (act, { body }) => readLabel(act, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/items/scan',
      name: 'receiveScanned',
      tag,
      summary: 'Receive pieces into a bin by scanning their label',
      description:
        'Lot, serial, days and count are the label’s; what it leaves out may be typed. A device that the catalogue does not know becomes a draft of a catalogue entry, one for each device, and nothing is received.',
      body: ReceiveScanned,
      answer: ScanReceived,
    },
    (act, { body }) => receiveScanned(act, body),
  );
  api.read(
    {
      url: '/api/v1/part-drafts',
      name: 'listPartDrafts',
      tag,
      summary: 'Drafts of catalogue entries, in the order in which they were scanned',
      query: PartDraftQuery,
      answer: PartDraftPage,
    },
    (act, { query }) => findDrafts(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/part-drafts/:partDraftId/part',
      name: 'makePartOfDraft',
      tag,
      summary: 'Make the part of a draft: its device is the scanned one',
      params: PartDraftParams,
      body: PartOfDraft,
      answer: PartView,
      versioned: true,
    },
    (act, { params, body }) => makePartOf(act, params.partDraftId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/part-drafts/:partDraftId/set-aside',
      name: 'setPartDraftAside',
      tag,
      summary: 'Set a draft aside, with the reason: no part is made of it',
      params: PartDraftParams,
      body: SetDraftAside,
      answer: PartDraftView,
      status: 200,
    },
    (act, { params, body }) => setAside(act, params.partDraftId, body.note),
  );
}
