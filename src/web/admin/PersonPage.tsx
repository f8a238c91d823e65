/** One person: name, roles, whether they still work here; a one-time code; where they are signed in. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { PasswordAgain, PasswordForm } from '../parts/passwordForm.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { person as me } from '../session/session.ts';
import { words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { OneTimeCode, type ShownCode } from './OneTimeCode.tsx';
import { PersonOpenId } from './PersonOpenId.tsx';
import { personFields } from './peopleFields.ts';
import { PersonSessions } from './PersonSessions.tsx';
import { RecordForm } from './RecordForm.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { ifMatch } from './values.ts';

export function PersonPage({ params: { personId } }: { params: { personId: string } }) {
  const { admin: say } = words.value;
  const [said, setSaid] = useState('');
  const [shown, setShown] = useState<ShownCode | null>(null);
  // Beside what is typed, which is kept on this device: a password is not.
  const [currentPassword, setPassword] = useState('');
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
  /** Roles, and letting somebody back in. */
  const asksPassword = (touched: readonly string[]): boolean =>
    touched.includes('roles') || (touched.includes('active') && !person.active);
  return (
    <AdminSheet
      title={person.printedName}
      back={[listPage('people'), say.entries.people.title]}
      said={said}
    >
      {shown !== null && <OneTimeCode shown={shown} onDone={() => setShown(null)} />}
      <SigningIn person={person} />
      {mine && <p class="caution">{say.people.yourself}</p>}
      <RecordForm
        record={person}
        sectionsOf={() => [{ fields: personFields() }]}
        act={say.save}
        change={async (changed, version) => {
          const body = asksPassword(Object.keys(changed))
            ? { ...changed, currentPassword }
            : changed;
          const params = { path, header: ifMatch(version) };
          await answered(api.PATCH('/api/v1/people/{personId}', { params, body }));
          setPassword('');
        }}
        readNow={read}
        onSaid={setSaid}
      >
        {(touched, against) =>
          asksPassword(touched) && (
            <PasswordAgain value={currentPassword} against={against} onType={setPassword} />
          )
        }
      </RecordForm>
      {!mine && person.active && <GiveCode person={person} onShown={setShown} />}
      {!mine && <PersonSessions person={person} onSaid={setSaid} />}
      {!mine && person.secondFactor && <ResetSecondFactor person={person} onSaid={setSaid} />}
      <PersonOpenId personId={person.id} onSaid={setSaid} />
      <RecordHistory
        of={{ subjectKind: 'person', subjectId: person.id, version: person.version }}
      />
    </AdminSheet>
  );
}

/** What the person signs in with, as far as an administrator may know it. */
function SigningIn({ person }: { readonly person: Schemas['Person'] }) {
  const { people: say } = words.value.admin;
  const instantWords = useInstantWords();
  const { passwordSet, codeExpiresAt: until } = person;
  // Whether that time is over, the reader's clock need not say.
  const now = passwordSet
    ? say.hasPassword
    : until === null
      ? say.hasNeither
      : say.hasCode(instantWords(until));
  return (
    <Facts
      of={[
        [say.email, person.email],
        [say.signIn, now],
      ]}
    />
  );
}

function GiveCode({
  person: { id, email, printedName: name },
  onShown,
}: {
  readonly person: Schemas['Person'];
  readonly onShown: (shown: ShownCode) => void;
}) {
  const { people: say } = words.value.admin;
  const readAgain = useReadAgain();
  const send = async (body: Schemas['OwnPasswordInput'], key: string): Promise<void> => {
    const params = { path: { personId: id }, header: once(key) };
    const given = await answered(api.POST('/api/v1/people/{personId}/code', { params, body }));
    onShown({ name, email, ...given });
    await readAgain();
  };
  return (
    <>
      <HelpHeading title={say.giveCode} text={say.giveCodeHelp} />
      <PasswordForm act={say.giveCode} send={send}>
        <p>{say.giveCodeSays}</p>
      </PasswordForm>
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
  const send = async (body: Schemas['OwnPasswordInput'], key: string): Promise<void> => {
    const params = { path: { personId: person.id }, header: once(key) };
    await answered(api.POST('/api/v1/people/{personId}/second-factor/reset', { params, body }));
    await readAgain();
    onSaid(say.resetDone(person.printedName));
  };
  return (
    <>
      <HelpHeading title={say.reset} text={say.resetHelp} />
      <PasswordForm act={say.reset} send={send} />
    </>
  );
}
