/** Whether a person signs in by the organisation: invited, linked, unlinked. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { PasswordForm } from '../parts/passwordForm.tsx';
import { words } from '../words/words.ts';

export function PersonOpenId({
  personId,
  onSaid,
}: {
  readonly personId: string;
  readonly onSaid: (said: string) => void;
}) {
  const { person: say } = words.value.openid;
  const readAgain = useReadAgain();
  const instant = useInstantWords();
  const path = { personId };
  const { data: provider } = useQuery({
    queryKey: ['clinic', 'openid'],
    queryFn: () => answered(api.GET('/api/v1/openid-provider')),
  });
  const { data } = useQuery({
    queryKey: ['people', personId, 'openid'],
    queryFn: () => answered(api.GET('/api/v1/people/{personId}/openid', { params: { path } })),
  });
  if (data === undefined || (provider?.active !== true && data.state === 'none')) return null;
  const invite = async (body: Schemas['OwnPasswordInput'], key: string): Promise<void> => {
    const params = { path, header: once(key) };
    await answered(api.POST('/api/v1/people/{personId}/openid/invitation', { params, body }));
    await readAgain();
    onSaid(say.wasInvited);
  };
  const unlink = async (key: string): Promise<void> => {
    const params = { path, header: once(key) };
    await answered(api.POST('/api/v1/people/{personId}/openid/unlink', { params }));
    await readAgain();
    onSaid(say.wasUnlinked);
  };
  return (
    <section>
      <h2>{say.title}</h2>
      <p>
        {data.linkedAt !== null
          ? say.linked(instant(data.linkedAt))
          : data.invitedUntil !== null
            ? say.invited(instant(data.invitedUntil))
            : say.none}
      </p>
      {data.state === 'none' ? (
        <PasswordForm act={say.invite} send={invite} />
      ) : (
        <ActForm act={data.linkedAt === null ? say.takeBack : say.unlink} send={unlink}>
          {() => null}
        </ActForm>
      )}
    </section>
  );
}
