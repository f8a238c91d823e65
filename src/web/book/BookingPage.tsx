/** Booking a fitting: from an order it is a few keys, for the first free time is offered and chosen. */
import { useQuery } from '@tanstack/preact-query';
import { useEffect, useRef, useState } from 'preact/hooks';
import { Link, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { Find } from '../desk/Find.tsx';
import { patientWords } from '../desk/patients.ts';
import { bookPage, orderPage } from '../links.ts';
import { useReadAgain } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { BookingForm, type ForWhom } from './BookingForm.tsx';
import { Warnings } from './TimeChoice.tsx';
import { useTimeZone } from './when.ts';

type Booked = Schemas['AppointmentBooked'];

export function BookingPage() {
  const { book: say, desk } = words.value;
  const [address, setAddress] = useSearchParams();
  const [booked, setBooked] = useState<Booked | null>(null);
  const readAgain = useReadAgain();
  const whom = useForWhom(address.get('order'), address.get('patient'));
  const timeZone = useTimeZone();
  if (!may('front_desk', 'prosthetist')) return <Sheet title={say.book}>{desk.noSuchRole}</Sheet>;
  if (booked !== null) return <Told of={booked} />;
  const nobody = address.get('order') === null && address.get('patient') === null;
  return (
    <Sheet title={say.book}>
      {nobody && (
        <Pick onPick={(key, id) => setAddress({ ...Object.fromEntries(address), [key]: id })} />
      )}
      <WentWrong failure={whom.error} />
      {whom.data !== undefined && timeZone !== undefined ? (
        <BookingForm
          whom={whom.data}
          at={address.get('at')}
          prosthetistId={address.get('with')}
          timeZone={timeZone}
          onAnother={() => setAddress({})}
          onBooked={async (made) => {
            await readAgain();
            setBooked(made);
          }}
        />
      ) : (
        !nobody && whom.error === null && <Loading />
      )}
    </Sheet>
  );
}

function Pick({ onPick }: { readonly onPick: (key: 'order' | 'patient', id: string) => void }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const frame = requestAnimationFrame(() => place.current?.querySelector('input')?.focus());
    return () => cancelAnimationFrame(frame);
  }, []);
  return (
    <div ref={place}>
      <Find
        onPick={(found) =>
          found.kind === 'order'
            ? onPick('order', found.order.id)
            : onPick('patient', found.patient.id)
        }
      />
    </div>
  );
}

/** The order, or the patient without one, as the service has them. */
const useForWhom = (orderId: string | null, patientId: string | null) =>
  useQuery({
    queryKey: ['for whom', orderId, patientId],
    enabled: orderId !== null || patientId !== null,
    queryFn: async (): Promise<ForWhom> => {
      if (orderId !== null) {
        const params = { path: { orderId } };
        const order = await answered(api.GET('/api/v1/orders/{orderId}', { params }));
        return { order, patient: order.patient };
      }
      const params = { path: { patientId: patientId ?? '' } };
      return {
        order: null,
        patient: await answered(api.GET('/api/v1/patients/{patientId}', { params })),
      };
    },
  });

function Told({ of: { appointment, warnings } }: { readonly of: Booked }) {
  const { book: say } = words.value;
  const instantWords = useInstantWords();
  const { order, on, patient, purpose, prosthetist, startsAt } = appointment;
  const said = `${say.booked}: ${instantWords(startsAt)}, ${say.purposes[purpose]}, ${prosthetist.printedName}`;
  return (
    <Sheet title={say.booked}>
      <Done said={said} />
      <p>{patientWords(patient)}</p>
      <Warnings of={warnings} />
      <p class="acts">
        {order !== null && (
          <Link class="touch" href={orderPage(order.id)}>
            {say.toOrder}
          </Link>
        )}{' '}
        <Link class="touch" href={bookPage(on)}>
          {say.toDay}
        </Link>
      </p>
    </Sheet>
  );
}
