/** Legal holds on a record: shown to all who see it, placed and lifted by an administrator. */
import { useQuery } from '@tanstack/preact-query';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { Rights } from './rights.ts';

type Hold = Schemas['LegalHold'];

/** Who reads a hold's words; the others are told that there is one. */
export const readsHolds = (): boolean =>
  may('front_desk', 'prosthetist', 'auditor', 'administrator');

/** The holds on a patient's sheet. */
export function Holds({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  return (
    <section>
      <h2>{say.holds}</h2>
      <InForce holds={of.holds} />
      {may('administrator') && <Place of={{ patientId: of.patientId }} act={say.place} />}
    </section>
  );
}

/** The holds that concern an order, on its own page; nothing where there is none to see or to place. */
export function OrderHolds({ orderId }: { readonly orderId: string }) {
  const { rights: say } = words.value;
  const path = { orderId };
  const reads = readsHolds();
  const { data: holds } = useQuery({
    queryKey: ['holds', orderId],
    enabled: reads,
    queryFn: () => answered(api.GET('/api/v1/orders/{orderId}/legal-holds', { params: { path } })),
  });
  const { data: told } = useQuery({
    queryKey: ['corrections', orderId],
    queryFn: () => answered(api.GET('/api/v1/orders/{orderId}/corrections', { params: { path } })),
  });
  if (!reads) return (told?.holds ?? 0) > 0 ? <p class="caution">{say.onHold}</p> : null;
  if (holds === undefined || (holds.items.length === 0 && !may('administrator'))) return null;
  return (
    <section>
      <h2>{say.holds}</h2>
      <InForce holds={holds.items} />
      {may('administrator') && <Place of={{ orderId }} act={say.placeOnOrder} />}
    </section>
  );
}

export function InForce({ holds }: { readonly holds: readonly Hold[] }) {
  const { rights: say } = words.value;
  if (holds.length === 0) return <p>{say.noHold}</p>;
  return (
    <>
      <p class="caution">{say.onHold}</p>
      <ul class="lines">
        {holds.map((hold) => (
          <HoldLine key={hold.id} hold={hold} />
        ))}
      </ul>
    </>
  );
}

export function HoldLine({ hold }: { readonly hold: Hold }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  const subject = [
    say.holdOn[hold.subjectKind],
    hold.orderNumber ??
      (hold.partName === null ? hold.chartNumber : `${hold.partName} ${hold.lot ?? ''}`),
  ].join(' ');
  return (
    <li>
      <strong>{hold.reference}</strong> {subject}
      <div>{hold.reason}</div>
      <small>{say.placed(hold.placedBy, at(hold.placedAt))}</small>
      {hold.liftedAt !== null && (
        <div>
          <small>{say.lifted(hold.liftedBy ?? '', at(hold.liftedAt))}</small> {hold.liftReason}
        </div>
      )}
      {hold.liftedAt === null && may('administrator') && <Lift id={hold.id} />}
    </li>
  );
}

function Lift({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/legal-holds/{legalHoldId}/lift', {
        params: { path: { legalHoldId: id }, header: once(key) },
        body: { why },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.lift}</summary>
      <ActForm act={say.lift} send={send}>
        {({ against }) => (
          <NoteField label={say.liftWhy} value={why} against={against('/why')} onType={setWhy} />
        )}
      </ActForm>
    </details>
  );
}

/** What a hold is on, as it is sent. */
export type HoldSubject =
  | { readonly patientId: string }
  | { readonly orderId: string }
  | { readonly partId: string; readonly lot: string };

export function Place({
  of,
  act,
  children,
}: {
  readonly of: HoldSubject;
  readonly act: string;
  /** Fields that say what it is on, where the page does not. */
  readonly children?: (against: (pointer: string) => string | undefined) => ComponentChildren;
}) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [reason, setReason] = useState('');
  const [reference, setReference] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/legal-holds', {
        params: { header: once(key) },
        body: { ...of, reason, reference },
      }),
    );
    setReason('');
    setReference('');
    await readAgain();
  };
  return (
    <details>
      <summary>{act}</summary>
      <ActForm act={act} send={send}>
        {({ against }) => (
          <>
            {children?.(against)}
            <TextField
              label={say.reference}
              hint={say.referenceHint}
              autocomplete="off"
              value={reference}
              against={against('/reference')}
              onInput={({ currentTarget }) => setReference(currentTarget.value)}
            />
            <NoteField
              label={say.reason}
              value={reason}
              against={against('/reason')}
              onType={setReason}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
