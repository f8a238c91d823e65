/** What the desk says of an appointment: came, did not come, called off, moved; and a correction. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { words } from '../words/words.ts';
import { NO_TIME, TimeChoice, timeToSend, useFreeTimes, Warnings } from './TimeChoice.tsx';

type Appointment = Schemas['Appointment'];
type Mark = Schemas['AppointmentMarkInput']['state'];

export function AppointmentActs({
  of,
  book: { now, today, timeZone },
}: {
  readonly of: Appointment;
  readonly book: Pick<Schemas['Appointments'], 'now' | 'today' | 'timeZone'>;
}) {
  const { book: say } = words.value;
  const { state, on, startsAt } = of;
  if (state === 'called_off' || state === 'moved') return null;
  if (state !== 'booked') {
    const other = state === 'came' ? 'did_not_come' : 'came';
    return <Why of={of} act={say.correct} state={other} />;
  }
  // By the service's clock: that of a desk may be wrong.
  const hasBegun = startsAt <= now;
  return (
    <div class="acts">
      {on <= today && <Say of={of} state="came" act={say.came} />}
      {hasBegun && <Say of={of} state="did_not_come" act={say.didNotCome} />}
      <Folded summary={say.move}>{() => <Move of={of} timeZone={timeZone} />}</Folded>
      {!hasBegun && <Why of={of} act={say.callOff} state="called_off" />}
    </div>
  );
}

/** What is folded asks nothing of the service until it is opened. */
function Folded({
  summary,
  children,
}: {
  readonly summary: string;
  readonly children: () => ComponentChildren;
}) {
  const [opened, setOpened] = useState(false);
  return (
    <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>{summary}</summary>
      {opened && children()}
    </details>
  );
}

function useMark(appointmentId: string) {
  const readAgain = useReadAgain();
  return async (key: string, state: Mark, why: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/appointments/{appointmentId}/mark', {
        params: { path: { appointmentId }, header: once(key) },
        body: { state, ...(why.trim() === '' ? {} : { why }) },
      }),
    );
    await readAgain();
  };
}

function Say({
  of: { id },
  state,
  act,
}: {
  readonly of: Appointment;
  readonly state: Mark;
  readonly act: string;
}) {
  const mark = useMark(id);
  return (
    <ActForm act={act} send={(key) => mark(key, state, '')}>
      {() => null}
    </ActForm>
  );
}

function Why({
  of: { id },
  state,
  act,
}: {
  readonly of: Appointment;
  readonly state: Mark;
  readonly act: string;
}) {
  const { book: say } = words.value;
  const mark = useMark(id);
  const [why, setWhy] = useState('');
  const inWords = state === 'called_off' ? act : `${act}: ${say.states[state]}`;
  return (
    <Folded summary={inWords}>
      {() => (
        <ActForm act={inWords} send={(key) => mark(key, state, why)}>
          {({ against }) => (
            <NoteField label={say.why} value={why} against={against('/why')} onType={setWhy} />
          )}
        </ActForm>
      )}
    </Folded>
  );
}

function Move({ of, timeZone }: { readonly of: Appointment; readonly timeZone: string }) {
  const { book: say } = words.value;
  const readAgain = useReadAgain();
  const [time, setTime] = useState(NO_TIME);
  const [why, setWhy] = useState('');
  const [warnings, setWarnings] = useState<Schemas['AppointmentBooked']['warnings']>([]);
  const { id: appointmentId, order, patient, prosthetist, purpose } = of;
  const minutes = (Date.parse(of.endsAt) - Date.parse(of.startsAt)) / 60_000;
  const free = useFreeTimes({
    purpose,
    minutes,
    prosthetistId: prosthetist.id,
    ...(order === null ? { patientId: patient.id } : { orderId: order.id }),
  });
  const send = async (key: string): Promise<void> => {
    const made = await answered(
      api.POST('/api/v1/appointments/{appointmentId}/move', {
        params: { path: { appointmentId }, header: once(key) },
        body: {
          startsAt: asChosen(timeToSend(time, free.data, timeZone)),
          ...({ why: why.trim() === '' ? undefined : why } as { why: string }),
        },
      }),
    );
    setWarnings(made.warnings);
    await readAgain();
  };
  return (
    <ActForm act={say.move} send={send}>
      {({ against }) => (
        <>
          <Warnings of={warnings} />
          <TimeChoice
            typed={time}
            free={free.data}
            failure={free.error}
            against={against('/startsAt')}
            onChange={(change) => setTime((before) => ({ ...before, ...change }))}
          />
          <NoteField label={say.whyMoved} value={why} against={against('/why')} onType={setWhy} />
        </>
      )}
    </ActForm>
  );
}
