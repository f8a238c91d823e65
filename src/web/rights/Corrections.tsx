/** Corrections by addition: each beside what it corrects, which stays; and making one, signed. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { may } from '../session/session.ts';
import { massWords } from '../words/units.ts';
import { dayWords, words } from '../words/words.ts';
import type { Rights } from './rights.ts';

type Correction = Schemas['Correction'];
type Correctable = Schemas['CorrectableRecords']['items'][number];
type ToMake = Omit<Schemas['CorrectionToMakeInput'], 'signature'>;

export function Corrections({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  return (
    <section>
      <h2>{say.corrections}</h2>
      {of.corrections.length === 0 ? <p>{say.noCorrection}</p> : <List items={of.corrections} />}
      {may('prosthetist') && <Make of={of} />}
    </section>
  );
}

/** The corrections of an order, on its own page; nothing where there are none. */
export function OrderCorrections({ orderId }: { readonly orderId: string }) {
  const { rights: say } = words.value;
  const { data } = useQuery({
    queryKey: ['corrections', orderId],
    queryFn: () =>
      answered(api.GET('/api/v1/orders/{orderId}/corrections', { params: { path: { orderId } } })),
  });
  if (data === undefined || data.items.length === 0) return null;
  return (
    <section>
      <h2>{say.corrections}</h2>
      <List items={data.items} />
    </section>
  );
}

function List({ items }: { readonly items: readonly Correction[] }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  return (
    <>
      <p class="hint">{say.correctionsNote}</p>
      <ul class="lines">
        {items.map((each) => (
          <li key={each.id}>
            <strong>{say.kinds[each.subjectKind]}</strong> {each.orderNumber}
            {each.unseen === null ? (
              <>
                <div>
                  {say.wrong}: {each.wrong}
                </div>
                <div>
                  {say.right}: {each.right}
                </div>
                <div>
                  {say.why}: {each.why}
                </div>
              </>
            ) : (
              <div>{say.unseen[each.unseen]}</div>
            )}
            <small>{say.correctedBy(each.correctedBy, at(each.correctedAt))}</small>
          </li>
        ))}
      </ul>
    </>
  );
}

/** Its kind, and what tells it from others of its kind. */
function recordWords({ kind, value, attempt }: Correctable): string {
  const { rights: say, fitting, book, signing } = words.value;
  if (value === null) return say.kinds[kind];
  // A word of each kind's own list; a title is its own word.
  const listed: Readonly<Partial<Record<Correctable['kind'], Readonly<Record<string, string>>>>> = {
    measure_set: fitting.occasions,
    volume_decision: fitting.decisions,
    torque_confirmation: fitting.joints,
    lock_check: say.checked,
    alignment: say.alignments,
    fitting: say.fits,
    finding: fitting.findings,
    service_visit: signing.serviceKinds,
    appointment: book.purposes,
  };
  const told: Readonly<Partial<Record<Correctable['kind'], string>>> = {
    body_mass: massWords(Number(value)),
    mass_acknowledgement: say.upTo(massWords(Number(value))),
    cast: say.numbered(value),
    layup: say.numbered(value),
    resin_weighing: say.numbered(value),
  };
  const which = told[kind] ?? listed[kind]?.[value] ?? value;
  const again = attempt !== null && attempt > 1 ? `, ${say.attempt(attempt)}` : '';
  return `${say.kinds[kind]}: ${which}${again}`;
}

function Make({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  const [opened, setOpened] = useState(false);
  return (
    <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>{say.correct}</summary>
      {opened && <Form of={of} />}
    </details>
  );
}

function Form({ of: { patientId, requests } }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  const readAgain = useReadAgain();
  const path = { patientId };
  const { data } = useQuery({
    queryKey: ['correctable', patientId],
    queryFn: () =>
      answered(api.GET('/api/v1/patients/{patientId}/correctable-records', { params: { path } })),
  });
  const [of, setOf] = useState('');
  const [requestId, setRequestId] = useState('');
  const [wrong, setWrong] = useState('');
  const [right, setRight] = useState('');
  const [why, setWhy] = useState('');
  const [kind = '', subjectId = ''] = of.split(' ');
  const body: ToMake = {
    subjectKind: kind as ToMake['subjectKind'],
    subjectId,
    wrong,
    right,
    why,
    ...(requestId === '' ? {} : { requestId }),
  };
  const accepted = requests.filter(({ decision }) => decision === 'accepted');
  return (
    <SignedForm
      act={say.signCorrection}
      body={body}
      ask={(asked) =>
        answered(
          api.POST('/api/v1/patients/{patientId}/corrections/to-sign', {
            params: { path },
            body: asked,
          }),
        )
      }
      sign={async (key, signed, signature) => {
        await answered(
          api.POST('/api/v1/patients/{patientId}/corrections', {
            params: { path, header: once(key) },
            body: { ...signed, signature },
          }),
        );
        await readAgain();
      }}
    >
      {({ against }) => (
        <>
          <SelectField
            label={say.whichRecord}
            of={[
              ['', say.choose],
              ...(data?.items ?? []).map(
                (each) =>
                  [
                    `${each.kind} ${each.id}`,
                    [recordWords(each), at(each.at), each.orderNumber]
                      .filter((part) => part !== null)
                      .join(', '),
                  ] as const,
              ),
            ]}
            value={of}
            against={against('/subjectKind') ?? against('/subjectId')}
            onChoose={setOf}
          />
          {accepted.length > 0 && (
            <SelectField
              label={say.answers}
              of={[
                ['', say.noRequestAnswered],
                ...accepted.map(
                  ({ id, askedOn, said }) =>
                    [id, `${dayWords(askedOn)}: ${said.slice(0, 60)}`] as const,
                ),
              ]}
              value={requestId}
              against={against('/requestId')}
              onChoose={setRequestId}
            />
          )}
          <NoteField
            label={say.wrong}
            value={wrong}
            against={against('/wrong')}
            onType={setWrong}
          />
          <NoteField
            label={say.right}
            value={right}
            against={against('/right')}
            onType={setRight}
          />
          <NoteField label={say.why} value={why} against={against('/why')} onType={setWhy} />
        </>
      )}
    </SignedForm>
  );
}
