/** The form of a booking; what is usual for the order stands in it already. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { dayAt } from '../../domain/days.ts';
import { answered, api, type Schemas } from '../api.ts';
import type { Order } from '../desk/order.ts';
import { patientWords } from '../desk/patients.ts';
import { asChosen, once } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import { NO_TIME, TimeChoice, timeToSend, useFreeTimes, type TimeTyped } from './TimeChoice.tsx';
import { useProsthetists } from './useProsthetists.ts';
import { timeWords } from './when.ts';

type Purpose = Schemas['Appointment']['purpose'];

export interface ForWhom {
  readonly order: Order | null;
  readonly patient: Schemas['PatientSeen'];
}

/** What an order at each stage is most probably booked for. */
const PURPOSE_AT: Readonly<Record<Order['stage'], Purpose>> = {
  casting: 'casting',
  check_fitting: 'check_fitting',
  lamination: 'delivery',
  delivery: 'delivery',
  delivered: 'service',
  cancelled: 'service',
};

export function BookingForm({
  whom: { order, patient },
  at,
  prosthetistId,
  timeZone,
  onAnother,
  onBooked,
}: {
  readonly whom: ForWhom;
  /** An instant that was pointed at in the book. */
  readonly at: string | null;
  readonly prosthetistId: string | null;
  readonly timeZone: string;
  readonly onAnother: () => void;
  readonly onBooked: (booked: Schemas['AppointmentBooked']) => Promise<void>;
}) {
  const { book: say } = words.value;
  const place = useRef<HTMLDivElement>(null);
  const [purpose, setPurpose] = useState<Purpose>(
    order === null ? 'casting' : PURPOSE_AT[order.stage],
  );
  const prosthetists = useProsthetists();
  const [chosenPerson, setPerson] = useState(prosthetistId ?? order?.prosthetist?.id ?? '');
  // Where there is only one, nobody needs to choose.
  const person =
    chosenPerson === '' && prosthetists.length === 1 ? String(prosthetists[0]?.id) : chosenPerson;
  const [time, setTime] = useState<TimeTyped>(() => pointedAt(at, timeZone));
  const [minutes, setMinutes] = useState('');
  const [room, setRoom] = useState('');
  const [note, setNote] = useState('');
  const typedMinutes = minutes.trim() === '' ? undefined : Number(minutes);
  const ofWhom = order === null ? { patientId: patient.id } : { orderId: order.id };
  const free = useFreeTimes({
    purpose,
    ...ofWhom,
    ...(person === '' ? {} : { prosthetistId: person }),
    ...(Number.isInteger(typedMinutes) ? { minutes: Number(typedMinutes) } : {}),
  });
  const settled = free.data !== undefined || person === '' || at !== null;
  useEffect(() => {
    if (!settled) return;
    // The first free time is chosen: Enter books it.
    const first = person === '' ? 'select' : 'input[name=time]:checked';
    const frame = requestAnimationFrame(() =>
      place.current?.querySelector<HTMLElement>(first)?.focus(),
    );
    return () => cancelAnimationFrame(frame);
  }, [settled]);
  const send = async (key: string): Promise<void> => {
    const body = {
      ...ofWhom,
      purpose,
      startsAt: asChosen(timeToSend(time, free.data, timeZone)),
      ...(person === '' ? {} : { prosthetistId: person }),
      ...(typedMinutes === undefined ? {} : { minutes: typedMinutes }),
      ...(room.trim() === '' ? {} : { room }),
      ...(note.trim() === '' ? {} : { note }),
    };
    await onBooked(
      await answered(api.POST('/api/v1/appointments', { params: { header: once(key) }, body })),
    );
  };
  return (
    <div ref={place}>
      <p class="picked">
        <strong>
          {order === null ? '' : `${order.number} · `}
          {patientWords(patient)}
        </strong>{' '}
        <button type="button" onClick={onAnother}>
          {say.another}
        </button>
      </p>
      <ActForm act={say.act} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.purpose}
              name="purpose"
              of={say.purposes}
              value={purpose}
              against={against('/purpose')}
              onChoose={setPurpose}
            />
            <SelectField
              label={say.withWhom}
              of={[
                ...(person === '' ? [['', say.noProsthetist] as const] : []),
                ...prosthetists.map(({ id, printedName }) => [id, printedName] as const),
              ]}
              value={person}
              against={against('/prosthetistId')}
              onChoose={setPerson}
            />
            <TimeChoice
              typed={time}
              free={free.data}
              failure={free.error}
              against={against('/startsAt')}
              onChange={(change) => setTime((before) => ({ ...before, ...change }))}
            />
            <div class="filters beside-each-other">
              <TextField
                label={say.minutes}
                hint={say.minutesHint}
                inputMode="numeric"
                autocomplete="off"
                placeholder={free.data === undefined ? '' : String(free.data.minutes)}
                value={minutes}
                against={against('/minutes')}
                onInput={({ currentTarget }) => setMinutes(currentTarget.value)}
              />
              <TextField
                label={say.room}
                autocomplete="off"
                value={room}
                against={against('/room')}
                onInput={({ currentTarget }) => setRoom(currentTarget.value)}
              />
            </div>
            <NoteField label={say.note} value={note} against={against('/note')} onType={setNote} />
          </>
        )}
      </ActForm>
    </div>
  );
}

const pointedAt = (at: string | null, timeZone: string): TimeTyped =>
  at === null || Number.isNaN(Date.parse(at))
    ? NO_TIME
    : {
        chosen: 'another',
        day: dayAt(new Date(at), timeZone),
        time: timeWords(at, timeZone),
      };
