/** Opening an order: who, which limb, which day. All of it by keyboard, in under a minute. */
import { useQuery } from '@tanstack/preact-query';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderPage } from '../links.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { emptyDraft, orderToOpen, type Draft } from './draft.ts';
import { useKept } from './kept.ts';
import { LimbFields } from './LimbFields.tsx';
import { NewPatient } from './NewPatient.tsx';
import { PatientPicked } from './PatientPicked.tsx';
import { PatientSearch } from './PatientSearch.tsx';
import type { Patient } from './patients.ts';
import { PromisedDay } from './PromisedDay.tsx';

export function OpenOrder() {
  const { pages, desk: say } = words.value;
  const [draft, setDraft, forget] = useKept('order', emptyDraft());
  const [entering, setEntering] = useState<string | null>(null);
  const { data: offer } = useOffer();
  if (!may('front_desk', 'prosthetist')) return <Sheet title={pages.open}>{say.noSuchRole}</Sheet>;
  const change = (part: Partial<Draft>): void => setDraft((before) => ({ ...before, ...part }));
  if (entering !== null) {
    return (
      <Sheet title={say.enterPatient}>
        <NewPatient
          typed={entering}
          today={offer?.today ?? ''}
          onPick={(patient) => {
            change({ patient });
            setEntering(null);
          }}
          onBack={() => setEntering(null)}
        />
      </Sheet>
    );
  }
  return (
    <Sheet title={pages.open}>
      <OrderForm draft={draft} change={change} onNew={setEntering} onOpened={forget} />
    </Sheet>
  );
}

const useOffer = () =>
  useQuery({
    queryKey: ['offer'],
    queryFn: () => answered(api.GET('/api/v1/dates/offer')),
    // The seed is kept: the day that is sent is the day that was shown.
    staleTime: Infinity,
  });

function OrderForm({
  draft,
  change,
  onNew,
  onOpened,
}: {
  readonly draft: Draft;
  readonly change: (part: Partial<Draft>) => void;
  readonly onNew: (typed: string) => void;
  readonly onOpened: () => void;
}) {
  const { desk: say } = words.value;
  const [, turnTo] = useLocation();
  const readAgain = useReadAgain();
  const limb = useRef<HTMLDivElement>(null);
  const { patient } = draft;
  const offer = useOffer();
  useEffect(() => {
    if (patient === undefined) return;
    const frame = requestAnimationFrame(() => limb.current?.querySelector('input')?.focus());
    return () => cancelAnimationFrame(frame);
  }, [patient?.id]);
  const pick = (picked: Patient | undefined): void => {
    change({ patient: picked, anotherIsMeant: false });
  };
  const send = async (key: string): Promise<void> => {
    const order = await answered(
      api.POST('/api/v1/orders', {
        params: { header: once(key) },
        body: orderToOpen(draft, offer.data),
      }),
    );
    onOpened();
    await readAgain();
    turnTo(orderPage(order.id));
  };
  return (
    <ActForm act={say.act} send={send}>
      {({ against }) => (
        <>
          <h2>{say.who}</h2>
          {patient === undefined ? (
            <PatientSearch
              against={against('/patientId') === undefined ? undefined : say.whoIsIt}
              onPick={pick}
              onNew={onNew}
            />
          ) : (
            <PatientPicked patient={patient} onAnother={() => pick(undefined)} />
          )}
          <AnotherMeant
            against={against('/anotherOpenOrderIsMeant')}
            meant={draft.anotherIsMeant}
            onTick={(anotherIsMeant) => change({ anotherIsMeant })}
          />
          <h2>{say.what}</h2>
          <div ref={limb}>
            <LimbFields draft={draft} against={against} onChange={change} />
          </div>
          <h2>{say.when}</h2>
          <WentWrong failure={offer.error} retry={() => void offer.refetch()} />
          <PromisedDay
            draft={draft}
            offer={offer.data}
            against={against('/promisedOn')}
            onChange={change}
          />
        </>
      )}
    </ActForm>
  );
}

/** Asked only once the service has said that the limb has an open order; it stays once it is ticked. */
function AnotherMeant({
  against,
  meant,
  onTick,
}: {
  readonly against: string | undefined;
  readonly meant: boolean;
  readonly onTick: (meant: boolean) => void;
}) {
  const { desk: say } = words.value;
  if (against === undefined && !meant) return null;
  return (
    <div class="field">
      <label class="tick">
        <input
          type="checkbox"
          checked={meant}
          aria-invalid={against === undefined ? undefined : 'true'}
          onChange={({ currentTarget }) => onTick(currentTarget.checked)}
        />
        {say.another}
      </label>
      <span class="hint">{say.anotherHint}</span>
      {against !== undefined && <span class="against">{against}</span>}
    </div>
  );
}
