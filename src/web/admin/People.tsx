/** The people of the clinic: who signs in, as what; and taking somebody on, with a one-time code. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { PasswordAgain } from '../parts/passwordForm.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { rolesIn } from './peopleFields.ts';
import { NewRecord } from './NewRecord.tsx';
import { newPersonFields } from './peopleFields.ts';
import { OneTimeCode, type ShownCode } from './OneTimeCode.tsx';
import { personPage } from './addresses.ts';
import { More, usePages } from './pagedList.tsx';

export function People() {
  const { admin: say } = words.value;
  const [said, setSaid] = useState('');
  const [shown, setShown] = useState<ShownCode | null>(null);
  // Beside what is typed, which is kept on this device: a password is not.
  const [currentPassword, setPassword] = useState('');
  const people = usePages(['people'], (query) => api.GET('/api/v1/people', { params: { query } }));
  return (
    <AdminSheet title={say.entries.people.title} said={said}>
      {shown !== null && <OneTimeCode shown={shown} onDone={() => setShown(null)} />}
      <WentWrong failure={people.error} retry={() => void people.refetch()} />
      {people.isPending ? <Loading /> : <Table people={people.lines} />}
      <More of={people} />
      <HelpHeading title={say.people.takeOn} text={say.people.takeOnHelp} />
      <NewRecord
        name="person"
        sectionsOf={() => [{ fields: newPersonFields() }]}
        act={say.people.takeOn}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/people', {
              params: { header: once(key) },
              body: { ...values, currentPassword } as Schemas['AddPersonInput'],
            }),
          )
        }
        onDone={({ printedName: name, email, roles, code, codeExpiresAt: expiresAt }) => {
          setPassword('');
          setShown({ name, email, code, expiresAt });
          setSaid(say.people.takenOn(name, rolesIn(roles)));
        }}
      >
        {(_typed, against) => (
          <PasswordAgain value={currentPassword} against={against} onType={setPassword} />
        )}
      </NewRecord>
    </AdminSheet>
  );
}

function Table({ people }: { readonly people: readonly Schemas['Person'][] }) {
  const { admin: say } = words.value;
  return (
    <table class="stacked record-list">
      <thead>
        <tr>
          <th>{say.people.printedName}</th>
          <th>{say.people.roles}</th>
          <th>{say.people.email}</th>
          <th>{say.people.works}</th>
        </tr>
      </thead>
      <tbody>
        {people.map((person) => (
          <tr key={person.id}>
            <td>
              <Link class="touch" href={personPage(person.id)}>
                <strong>{person.printedName}</strong>
              </Link>
            </td>
            <td data-label={say.people.roles}>{rolesIn(person.roles)}</td>
            <td data-label={say.people.email}>{person.email}</td>
            <td data-label={say.people.works}>
              {person.active ? say.people.active : <strong>{say.people.left}</strong>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
