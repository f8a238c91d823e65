/** One's own second factor: added, its recovery codes renewed, turned off. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Done } from '../parts/done.tsx';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AddSecondFactor } from './AddSecondFactor.tsx';
import { RecoveryCodes } from './RecoveryCodes.tsx';
import { refresh } from './session.ts';

export function SecondFactor() {
  const { secondFactor: say } = words.value;
  const instant = useInstantWords();
  const readAgain = useReadAgain();
  const [codes, setCodes] = useState<readonly string[]>();
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['second-factor'],
    queryFn: () => answered(api.GET('/api/v1/me/second-factor')),
  });
  const show = (given: readonly string[], what: string): void => {
    setCodes(given);
    setSaid(what);
  };
  return (
    <section>
      <h2>{say.title}</h2>
      <Done said={said} />
      <WentWrong failure={error} retry={() => void refetch()} />
      {codes !== undefined ? (
        <RecoveryCodes
          codes={codes}
          onKept={() => {
            setCodes(undefined);
            setSaid('');
            void readAgain();
          }}
        />
      ) : data === undefined ? (
        error === null && <Loading />
      ) : data.added ? (
        <>
          <p>
            {say.added(instant(String(data.addedAt)))} {say.left(data.recoveryCodesLeft ?? 0)}
          </p>
          {data.asked && <p>{say.asked}</p>}
          <Change
            onCodes={(given) => show(given, say.renewed)}
            onRemoved={() => {
              setSaid(say.removed);
              void refresh().then(readAgain);
            }}
          />
        </>
      ) : (
        <>
          <p>{say.says}</p>
          <p>
            {say.none} {data.asked && say.asked}
          </p>
          <AddSecondFactor onCodes={(given) => show(given, say.done)} />
        </>
      )}
    </section>
  );
}

function Change({
  onCodes,
  onRemoved,
}: {
  readonly onCodes: (codes: readonly string[]) => void;
  readonly onRemoved: () => void;
}) {
  const { secondFactor: say } = words.value;
  const [wanted, setWanted] = useState<'renew' | 'remove'>();
  const [given, setGiven] = useState<Schemas['PasswordAndCodeInput']>({
    currentPassword: '',
    oneTimeCode: '',
  });
  const send = async (key: string): Promise<void> => {
    const asked = { params: { header: once(key) }, body: given };
    try {
      if (wanted === 'renew') {
        const { recoveryCodes } = await answered(
          api.POST('/api/v1/me/second-factor/recovery-codes', asked),
        );
        onCodes(recoveryCodes);
      } else {
        await answered(api.POST('/api/v1/me/second-factor/removal', asked));
        onRemoved();
      }
    } finally {
      setGiven({ currentPassword: '', oneTimeCode: '' });
    }
  };
  if (wanted === undefined) {
    return (
      <p class="actions">
        <button onClick={() => setWanted('renew')}>{say.renew}</button>{' '}
        <button onClick={() => setWanted('remove')}>{say.remove}</button>
      </p>
    );
  }
  return (
    <ActForm act={wanted === 'renew' ? say.renew : say.remove} send={send}>
      {({ against }) => (
        <>
          <TextField
            label={say.password}
            type="password"
            autocomplete="current-password"
            value={given.currentPassword}
            against={against('/currentPassword')}
            onInput={({ currentTarget }) =>
              setGiven({ ...given, currentPassword: currentTarget.value })
            }
          />
          <TextField
            label={say.changeCode}
            autocomplete="one-time-code"
            value={given.oneTimeCode}
            against={against('/oneTimeCode')}
            onInput={({ currentTarget }) =>
              setGiven({ ...given, oneTimeCode: currentTarget.value })
            }
          />
        </>
      )}
    </ActForm>
  );
}
