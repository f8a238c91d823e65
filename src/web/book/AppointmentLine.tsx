/** An appointment as a line of the book, with what can be said of it. */
import { Link } from 'wouter-preact';
import type { Schemas } from '../api.ts';
import { patientWords } from '../desk/patients.ts';
import { orderPage, ordersOfPatient } from '../links.ts';
import { useInstantWords } from '../parts/instants.ts';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { AppointmentActs } from './AppointmentActs.tsx';
import { timeWords } from './when.ts';

type Appointment = Schemas['Appointment'];

export function AppointmentLine({
  of,
  book,
  withDay = false,
}: {
  readonly of: Appointment;
  readonly book: Pick<Schemas['Appointments'], 'now' | 'today' | 'timeZone'>;
  /** Where the page does not say the day already. */
  readonly withDay?: boolean;
}) {
  const { book: say } = words.value;
  const instantWords = useInstantWords();
  const { patient, order, purpose, state, startsAt, endsAt, prosthetist, room, note } = of;
  const gone = state === 'called_off' || state === 'moved';
  const until = timeWords(endsAt, book.timeZone);
  const time = withDay ? instantWords(startsAt) : timeWords(startsAt, book.timeZone);
  return (
    <div class={gone ? 'appointment gone' : 'appointment'}>
      <p>
        <strong class="time">
          {time}–{until}
        </strong>{' '}
        <Link href={order === null ? ordersOfPatient(patient.id) : orderPage(order.id)}>
          {patientWords(patient)}
        </Link>
        {' · '}
        {say.purposes[purpose]}
        {' · '}
        {order === null ? say.noOrder : order.number}
        {' · '}
        {prosthetist.printedName}
        {room !== null && ` · ${room}`}
        {of.phone != null && (
          <>
            {' · '}
            <a href={`tel:${of.phone.replace(/[^\d+]/g, '')}`}>{of.phone}</a>
          </>
        )}
        {state !== 'booked' && <strong class={`state ${state}`}> {say.states[state]}</strong>}
      </p>
      {note != null && <p class="hint">{note}</p>}
      {of.replaces !== null && (
        <p class="hint">
          {say.movedFrom} {instantWords(of.replaces.startsAt)}
        </p>
      )}
      {(of.why != null || of.replacedBy !== null) && (
        <p class="hint">
          {of.replacedBy !== null && `${say.movedTo} ${instantWords(of.replacedBy.startsAt)}. `}
          {of.why}
        </p>
      )}
      {may('front_desk', 'prosthetist') && <AppointmentActs of={of} book={book} />}
    </div>
  );
}
