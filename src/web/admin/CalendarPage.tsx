/** The working calendar: hours of each weekday, and the days on which the clinic is closed. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { HelpHeading } from '../parts/help.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { calendarChanges } from './calendarChanges.ts';
import { CalendarForm } from './CalendarForm.tsx';
import { Versions } from './Versions.tsx';
import { readCalendars } from './versionsRead.ts';

export function CalendarPage() {
  const { admin } = words.value;
  const { calendar: say } = admin;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['calendar', 'versions'],
    queryFn: readCalendars,
  });
  const offer = useOffer();
  const inForce = data?.items[0];
  return (
    <AdminSheet title={admin.entries.calendar.title} said={said}>
      <WentWrong failure={error} retry={() => void refetch()} />
      <OfferedNow offer={offer} />
      <p>
        <Link class="touch" href={listPage('clinic')}>
          {say.usualDays}
        </Link>
      </p>
      {inForce === undefined ? (
        <Loading />
      ) : (
        // A version that somebody else wrote is not put under what is being typed.
        <CalendarForm
          inForce={inForce}
          today={offer?.today}
          onSaid={(version) => setSaid(version === undefined ? '' : say.written(version))}
        />
      )}
      {data !== undefined && <Versions of={data.items} changes={calendarChanges} />}
    </AdminSheet>
  );
}

/** What the calendar comes to for who asks for a date today. */
const useOffer = () =>
  useQuery({
    queryKey: ['offer', 'in the calendar'],
    queryFn: () => answered(api.GET('/api/v1/dates/offer')),
  }).data;

function OfferedNow({ offer }: { readonly offer: Schemas['OfferAtOpening'] | undefined }) {
  const { calendar: say } = words.value.admin;
  return (
    <>
      <HelpHeading title={say.offered} text={say.offeredHelp} />
      {offer !== undefined && (
        <p class="stage-now" role="status">
          {say.offeredDay(dayWords((offer.withChance ?? offer.usual).promisedOn))}
        </p>
      )}
    </>
  );
}
