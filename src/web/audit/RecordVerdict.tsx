/** What a verification found, and noting it in the record itself. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import type { ChainFault, NotedHead } from '../../domain/eventChain.ts';
import { tellEvent } from '../../domain/eventTelling.ts';
import { answered, api, type Schemas } from '../api.ts';
import { historyPage } from '../links.ts';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, WentWrong } from '../parts/sheet.tsx';
import { steady } from '../words/figures.ts';
import { words } from '../words/words.ts';
import { valueWords } from './historyValues.ts';
import type { Standing } from './verification.ts';

export function Verdict({
  of,
  noted,
}: {
  readonly of: Standing;
  readonly noted: NotedHead | undefined;
}) {
  const { audit: say } = words.value;
  const { fault, head, from, until } = of;
  const said = useRef<HTMLElement>(null);
  useEffect(() => said.current?.focus(), [of]);
  const whole = fault === null && of.notOpenedBroken === null && of.headFound !== 'bad';
  return (
    <section class="verdict" tabIndex={-1} ref={said} aria-label={say.answer}>
      {fault === null ? (
        whole && (
          <>
            <h2>{say.whole}</h2>
            <p>{say.wholeWords(until - from.seq, steady(of.ms / 1000, 1))}</p>
            {noted !== undefined && <p>{say.notedFound(noted.seq)}</p>}
          </>
        )
      ) : (
        <Fault fault={fault} of={of} />
      )}
      <HeadVerdict of={of} />
      {of.notOpenedBroken !== null && (
        <p class="problem" role="alert">
          <strong>{say.unopenedBroken(of.notOpenedBroken)}</strong>
        </p>
      )}
      <Erased of={of} />
      {of.withheld > 0 && <p class="hint">{say.unseen(of.withheld)}</p>}
      {of.notOpened > 0 && of.notOpenedBroken === null && (
        <p class="hint">{say.unopened(of.notOpened)}</p>
      )}
      <NoteIt
        key={`${head.seq} ${fault?.kind ?? ''}`}
        found={{
          from: from.seq,
          to: head.seq,
          chainSha256: head.chainSha256,
          fault: fault === null ? null : { seq: fault.seq, kind: fault.kind },
          // That every record follows the one before says nothing of a head that does not fit.
          ...(of.signedHead === null || of.headFound === null
            ? {}
            : { signedHead: { number: of.signedHead.number, found: of.headFound } }),
        }}
      />
    </section>
  );
}

/** Values that were erased: when, by whom, why; the chain is whole without them. */
function Erased({ of: { erasedValues, erasures } }: { readonly of: Standing }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  if (erasedValues === 0) return null;
  return (
    <>
      <p>{say.erasedValues(erasedValues)}</p>
      <ul class="lines">
        {erasures.map((each) => (
          <li key={each.id}>
            {say.erasedBecause(each.by, at(each.at), each.why, each.legalBasis)}
          </li>
        ))}
      </ul>
    </>
  );
}

/** What the newest signed head says of the records that were verified. */
function HeadVerdict({ of: { signedHead, headFound, fault } }: { readonly of: Standing }) {
  const { audit: say } = words.value;
  if (signedHead === null || fault !== null) return null;
  const { number, treeSize } = signedHead;
  if (headFound === 'bad') {
    return (
      <p class="problem" role="alert">
        <strong>{say.headBad(number)}</strong>
      </p>
    );
  }
  if (headFound === null) return <p class="hint">{say.headNotChecked}</p>;
  return <p>{headFound === 'good' ? say.headWell(number, treeSize) : say.headUnsigned(number)}</p>;
}

function Fault({
  fault,
  of: { head, failed },
}: {
  readonly fault: ChainFault;
  readonly of: Standing;
}) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const kinds: Readonly<Record<string, string>> = say.eventKinds;
  const leaf = failed?.leaf ?? null;
  const told = tellEvent(leaf?.kind ?? '', leaf?.data ?? {});
  const saying = { names: {}, instant: at };
  const there = leaf !== null && (
    <>
      {kinds[leaf.kind] ?? leaf.kind}, {at(leaf.at)}
      <div class="said">
        {[
          ...told.changes.map(
            ({ field, before, after }) =>
              `${say.field(field)}: ${valueWords(before, saying, field)} → ${valueWords(after, saying, field)}`,
          ),
          ...told.facts.map(
            ({ field, value }) => `${say.field(field)}: ${valueWords(value, saying, field)}`,
          ),
        ].join(' · ')}
      </div>
      <Link href={historyPage(leaf.subjectKind, leaf.subjectId)}>{say.history}</Link>
    </>
  );
  return (
    <>
      <div class="problem" role="alert">
        <strong>{say.broken(fault.seq)}</strong>
        <p>{say.faults[fault.kind]}</p>
      </div>
      <Facts
        of={[
          [say.expected, <span class="noted">{groups(fault.expected)}</span>],
          [say.found, <span class="noted">{groups(fault.found)}</span>],
        ]}
      />
      {there !== false && <Facts of={[[say.whatItSays, there]]} />}
      <p>{say.allWellBefore(head.seq)}</p>
      <p>{say.toTell}</p>
    </>
  );
}

/** A hash in groups of four, in which two that differ are told apart by eye. */
const groups = (value: string): string =>
  /^[0-9a-f]{32,64}$/.test(value) ? (value.match(/.{1,4}/g) ?? []).join(' ') : value;

type Outcome = Schemas['VerificationToNoteInput'];
const noteOutcome = (body: Outcome) => {
  const params = { header: { 'idempotency-key': crypto.randomUUID() } };
  return answered(api.POST('/api/v1/record/verifications', { params, body }));
};

/** Who verified when, and with what outcome, is itself part of the record. */
function NoteIt({ found }: { readonly found: Outcome }) {
  const { audit: say } = words.value;
  const [noted, setNoted] = useState(false);
  const [failure, setFailure] = useState<unknown>(null);
  useEffect(() => {
    noteOutcome(found).then(() => setNoted(true), setFailure);
  }, []);
  return (
    <>
      <WentWrong failure={failure} />
      {noted && <p class="hint">{say.outcomeNoted}</p>}
    </>
  );
}
