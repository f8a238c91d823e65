/** What a verification found, in words. */
import { notedWords } from '../../src/domain/eventChain.ts';
import type {
  ProofCaution,
  ProofFault,
  ProofFaultKind,
  ProofResult,
  SavedHead,
} from '../../src/domain/recordProof.ts';
import type { Verification } from './found.ts';

const FAULTS: Readonly<Record<ProofFaultKind, (fault: ProofFault) => string>> = {
  key_of_another_clinic: () => 'it is a key of another clinic',
  key_out_of_order: (f) =>
    `it does not follow the key before it (${f.expected} was due, ${f.found} came)`,
  key_signature_wrong: () =>
    'its statement is not under the key that it names: it was changed or made up',
  rotation_forged: () => 'it says that the key before signed it in, and that key did not',
  key_not_trusted: () =>
    'none of the keys that you gave leads to it. Either these are not the clinic’s keys, or a key was lost: then get the new public key from the clinic by a way that you trust, and give it with another --key',
  head_of_another_clinic: () => 'it is a head of another clinic',
  head_missing: (f) => `it is not there: head ${f.found} came in its place`,
  head_not_following: () => 'it does not follow the head before it: one was taken out or exchanged',
  head_key_unknown: (f) => `it is under key ${f.found}, which was not the clinic’s at that head`,
  head_signature_wrong: () => 'its signature is not good: it was changed, or made with another key',
  event_missing: (f) =>
    `it is not there (${f.found} came where the record should go on to ${f.expected}): taken out, or cut off at the end`,
  event_out_of_order: (f) => `record ${f.found} stands in its place`,
  content_changed: () => 'its content is not what was hashed when it was written',
  seal_broken: () => 'a personal value of it is not the one that was sealed when it was written',
  chain_broken: () =>
    'it is not the one that followed the record before it: edited, put in, or moved',
  root_differs: (f) =>
    `the records under it are not those that were signed. Records ${f.firstEvent ?? 1} and later, up to its end, are in doubt: at least one was changed and the chain written anew`,
  head_chain_differs: (f) =>
    `the chain does not reach it as it was signed. Records ${f.firstEvent ?? 1} and later are in doubt`,
  saved_head_differs: (f) =>
    `the record up to here is not the one of which you saved the head (${f.expected.slice(0, 32)} … then, ${f.found.slice(0, 32)} … now): it was written anew`,
  head_left_out: () =>
    'the record tells that it was signed, and it is not in the export as it was signed',
  inclusion_not_proven: () => 'it is not proven to be under the newest signed head',
};

const NAMES = { key: 'signing key', head: 'signed head', event: 'record' } as const;

const CAUTIONS: Readonly<Record<ProofCaution['kind'], (number: number) => string>> = {
  key_was_lost: (number) =>
    `CAUTION: the key before signing key ${number} was reported lost. Nothing but your own trust in key ${number} connects the heads after it with those before: ask the clinic who brought it in, when, and why.`,
  events_after_last_head: (number) =>
    `CAUTION: records from ${number} on are chained, but under no signed head yet; whoever can write to the database could still write these anew.`,
  no_head: () =>
    'CAUTION: there is no signed head. The chain is whole, but whoever can write to the database could have written all of it anew.',
};

/** Line by line. */
export function inWords(found: Verification, saved: SavedHead | undefined): string[] {
  const { result, file, rows } = found;
  const lines = file === null ? [] : [`FAILS at line ${file.line} of the file: ${file.why}.`];
  if (result === null) return lines;
  if (result.fault !== null) lines.unshift(faultInWords(result.fault));
  if (found.ok) lines.push('The record is well.');
  lines.push(...(found.of === 'order' ? ofOrder(result) : ofClinic(result)));
  if (result.withheld > 0) {
    lines.push(
      `Of ${result.withheld} records the content is withheld from this export; their place in the record is proven, and the service vouches for what they say.`,
    );
  }
  if (saved !== undefined && result.savedHeadMet && result.fault === null) {
    lines.push(`It holds unchanged all that the head saved at record ${saved.seq} held.`);
  }
  if (rows > 0) {
    lines.push(
      `${rows} rows of tables were read and not verified: they are the state at the export; the proof is of the records that led to it.`,
    );
  }
  return [...lines, ...result.cautions.map(({ kind, number }) => CAUTIONS[kind](number))];
}

const faultInWords = (fault: ProofFault): string =>
  `FAILS at ${NAMES[fault.record]} ${fault.number}: ${FAULTS[fault.kind](fault)}.`;

function ofClinic({ upTo, heads, keys, newestHead }: ProofResult): string[] {
  return [
    `Records 1 to ${upTo.seq}: content, seals, chain and tree are as they were written.`,
    `${keys} signing keys and ${heads} signed heads were read.`,
    ...(newestHead === null
      ? []
      : [
          `Newest head that was reached: ${newestHead.statement.number}, signed ${newestHead.statement.signedAt} over ${newestHead.statement.treeSize} records.`,
        ]),
    `To note: ${notedWords(upTo)}`,
  ];
}

const ofOrder = ({ events, included, newestHead }: ProofResult): string[] => [
  `${events} records of one order: their content is as it was written. ${included} of them are proven to be under signed head ${newestHead?.statement.number ?? 'none'}.`,
  'Whether records of the order were left out cannot be told from an export of one order; an export of the whole record tells.',
];
