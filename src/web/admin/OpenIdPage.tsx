/** The organisation's provider: what is entered here and there, and whether it answers. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { Field } from './Field.tsx';

type Provider = Schemas['OpenIdProvider'];

export function OpenIdPage() {
  const { openid, admin } = words.value;
  const { provider: say } = openid;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['clinic', 'openid'],
    queryFn: () => answered(api.GET('/api/v1/openid-provider')),
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  return (
    <AdminSheet title={admin.entries.organisation.title} said={said}>
      <p>{say.says}</p>
      <Facts
        of={[
          [say.redirectUri, <code key="redirect">{data.redirectUri}</code>],
          [say.signInLink, data.active ? <code key="link">{data.signInLink}</code> : null],
        ]}
      />
      {/* What another wrote meanwhile is read anew. */}
      <ProviderForm key={data.version} provider={data} onSaid={setSaid} />
    </AdminSheet>
  );
}

function ProviderForm({
  provider,
  onSaid,
}: {
  readonly provider: Provider;
  readonly onSaid: (said: string) => void;
}) {
  const { provider: say } = words.value.openid;
  const readAgain = useReadAgain();
  const [issuer, setIssuer] = useState(provider.issuer ?? '');
  const [clientId, setClientId] = useState(provider.clientId ?? '');
  const [clientSecret, setClientSecret] = useState('');
  const [buttonName, setButtonName] = useState(provider.buttonName ?? '');
  const [active, setActive] = useState(provider.active || provider.version === 0);
  const save = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/openid-provider', {
        params: { header: once(key) },
        body: {
          version: provider.version,
          issuer,
          clientId,
          ...(clientSecret === '' ? {} : { clientSecret }),
          buttonName,
          active,
        },
      }),
    );
    await readAgain();
    onSaid(say.saved);
  };
  return (
    <>
      <ActForm act={say.save} send={save}>
        {({ against }) => (
          <div class="entry">
            <TextField
              label={say.issuer}
              hint={say.issuerHint}
              type="url"
              autocomplete="off"
              value={issuer}
              against={against('/issuer')}
              onInput={({ currentTarget }) => setIssuer(currentTarget.value)}
            />
            <TextField
              label={say.clientId}
              autocomplete="off"
              value={clientId}
              against={against('/clientId')}
              onInput={({ currentTarget }) => setClientId(currentTarget.value)}
            />
            <TextField
              label={say.clientSecret}
              hint={provider.version === 0 ? say.secretFirstHint : say.secretHint}
              type="password"
              autocomplete="off"
              value={clientSecret}
              against={against('/clientSecret')}
              onInput={({ currentTarget }) => setClientSecret(currentTarget.value)}
            />
            <TextField
              label={say.buttonName}
              autocomplete="off"
              value={buttonName}
              against={against('/buttonName')}
              onInput={({ currentTarget }) => setButtonName(currentTarget.value)}
            />
            <Field
              spec={{ key: 'active', label: say.active, kind: 'tick' }}
              typed={active ? 'yes' : ''}
              against={against('/active')}
              onType={(typed) => setActive(typed !== '')}
            />
          </div>
        )}
      </ActForm>
      <Trial issuer={issuer} />
    </>
  );
}

/** Asks the provider as it is typed, before or after it is saved. */
function Trial({ issuer }: { readonly issuer: string }) {
  const { provider: say } = words.value.openid;
  const [works, setWorks] = useState('');
  const tryIt = async (key: string): Promise<void> => {
    setWorks('');
    await answered(
      api.POST('/api/v1/openid-provider/trial', {
        params: { header: once(key) },
        body: { issuer },
      }),
    );
    setWorks(issuer);
  };
  return (
    <>
      <ActForm act={say.tryIt} send={tryIt}>
        {() => <p class="hint">{say.tryHint}</p>}
      </ActForm>
      <p role="status">{works !== '' && works === issuer ? say.works : ''}</p>
    </>
  );
}
