/** One person: name, roles, whether they still work here; a new password. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { person as me } from '../session/session.ts';
import { words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { personFields } from './peopleFields.ts';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { ifMatch } from './values.ts';

export function PersonPage({ params: { personId } }: { params: { personId: string } }) {
  const { admin: say } = words.value;
  const [said, setSaid] = useState('');
  const path = { personId };
  const read = () => answered(api.GET('/api/v1/people/{personId}', { params: { path } }));
  const {
    data: person,
    error,
    refetch,
  } = useQuery({ queryKey: ['people', personId], queryFn: read });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (person === undefined) return <Loading />;
  const mine = person.id === me.value?.id;
  return (
    <AdminSheet
      title={person.printedName}
      back={[listPage('people'), say.entries.people.title]}
      said={said}
    >
      <Facts of={[[say.people.email, person.email]]} />
      {mine && <p class="caution">{say.people.yourself}</p>}
      <RecordForm
        record={person}
        sectionsOf={() => [{ fields: personFields() }]}
        act={say.save}
        change={(body, version) =>
          answered(
            api.PATCH('/api/v1/people/{personId}', {
              params: { path, header: ifMatch(version) },
              body: body,
            }),
          )
        }
        readNow={read}
        onSaid={setSaid}
      />
      {!mine && <NewPassword person={person} onSaid={setSaid} />}
      {!mine && <ResetSecondFactor person={person} onSaid={setSaid} />}
      <RecordHistory
        of={{ subjectKind: 'person', subjectId: person.id, version: person.version }}
      />
    </AdminSheet>
  );
}

function NewPassword({
  person,
  onSaid,
}: {
  readonly person: Schemas['Person'];
  readonly onSaid: (said: string) => void;
}) {
  const { people: say } = words.value.admin;
  const readAgain = useReadAgain();
  const [newPassword, setNewPassword] = useState('');
  const send = async (key: string): Promise<void> => {
    const params = { path: { personId: person.id }, header: once(key) };
    await answered(
      api.POST('/api/v1/people/{personId}/password', { params, body: { newPassword } }),
    );
    setNewPassword('');
    await readAgain();
    onSaid(say.passwordSet(person.printedName));
  };
  return (
    <>
      <HelpHeading title={say.setPassword} text={say.setPasswordHelp} />
      <ActForm act={say.setPassword} send={send}>
        {({ against }) => (
          <TextField
            label={say.newPassword}
            hint={say.passwordRule}
            autocomplete="off"
            value={newPassword}
            against={against('/newPassword')}
            onInput={({ currentTarget }) => setNewPassword(currentTarget.value)}
          />
        )}
      </ActForm>
    </>
  );
}

function ResetSecondFactor({
  person,
  onSaid,
}: {
  readonly person: Schemas['Person'];
  readonly onSaid: (said: string) => void;
}) {
  const { secondFactor: say } = words.value;
  const readAgain = useReadAgain();
  const send = async (key: string): Promise<void> => {
    const params = { path: { personId: person.id }, header: once(key) };
    await answered(api.POST('/api/v1/people/{personId}/second-factor/reset', { params }));
    await readAgain();
    onSaid(say.resetDone(person.printedName));
  };
  return (
    <>
      <HelpHeading title={say.reset} text={say.resetHelp} />
      <ActForm act={say.reset} send={send}>
        {() => null}
      </ActForm>
    </>
  );
}
