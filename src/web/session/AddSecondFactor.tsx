/** Adding a second factor: the password again, the secret once, a first code. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { PasswordForm } from '../parts/passwordForm.tsx';
import { words } from '../words/words.ts';

/** @param onCodes is given the recovery codes, to be shown once */
export function AddSecondFactor({
  onCodes,
}: {
  readonly onCodes: (codes: readonly string[]) => void;
}) {
  const { secondFactor: say } = words.value;
  const [begun, setBegun] = useState<Schemas['SecondFactorBegun']>();
  const begin = async (body: Schemas['OwnPasswordInput'], key: string): Promise<void> => {
    const asked = { params: { header: once(key) }, body };
    setBegun(await answered(api.POST('/api/v1/me/second-factor', asked)));
  };
  if (begun !== undefined) return <Confirm begun={begun} onCodes={onCodes} />;
  return <PasswordForm act={say.begin} send={begin} />;
}

function Confirm({
  begun,
  onCodes,
}: {
  readonly begun: Schemas['SecondFactorBegun'];
  readonly onCodes: (codes: readonly string[]) => void;
}) {
  const { secondFactor: say } = words.value;
  const [oneTimeCode, setCode] = useState('');
  const confirm = async (key: string): Promise<void> => {
    const asked = { params: { header: once(key) }, body: { oneTimeCode } };
    const { recoveryCodes } = await answered(
      api.POST('/api/v1/me/second-factor/confirmation', asked),
    );
    onCodes(recoveryCodes);
  };
  return (
    <>
      <p>{say.read}</p>
      <img
        class="qr"
        alt={say.picture}
        src={`data:image/svg+xml,${encodeURIComponent(begun.qrSvg)}`}
      />
      <p>{say.orType}</p>
      <p>
        <code class="secret">{begun.secret.replaceAll(/.{4}(?=.)/g, '$& ')}</code>
      </p>
      <p class="hint">{say.shownOnce}</p>
      <ActForm act={say.confirm} send={confirm}>
        {({ against }) => (
          <TextField
            label={say.code}
            hint={say.codeHint}
            inputMode="numeric"
            autocomplete="one-time-code"
            value={oneTimeCode}
            against={against('/oneTimeCode')}
            onInput={({ currentTarget }) => setCode(currentTarget.value)}
          />
        )}
      </ActForm>
    </>
  );
}
