/** The lot is taken out of use: pieces in stock to quarantine, a finding on each socket that holds one. */
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { once } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';

export function Quarantine({
  lot,
  parts,
}: {
  readonly lot: string;
  readonly parts: readonly { readonly id: string; readonly name: string }[];
}) {
  const { audit: say } = words.value;
  const [partId, setPartId] = useState(parts[0]?.id ?? '');
  const [why, setWhy] = useState('');
  const [done, setDone] = useState('');
  const send = async (key: string): Promise<void> => {
    const params = { header: once(key) };
    const body = { lot, partId, why };
    const { moved, findings, alreadyFound } = await answered(
      api.POST('/api/v1/recall/quarantine', { params, body }),
    );
    setDone(say.quarantineDone(moved.length, findings.length, alreadyFound.length));
  };
  return (
    <details>
      <summary>{say.quarantineTitle}</summary>
      <p>{say.quarantineWords}</p>
      {done !== '' && (
        <p class="caution" role="status">
          {done}
        </p>
      )}
      <ActForm act={say.quarantineAct} send={send}>
        {({ against }) => (
          <>
            {parts.length > 1 && (
              <SelectField
                label={say.part}
                of={parts.map(({ id, name }) => [id, name] as const)}
                value={partId}
                against={against('/partId')}
                onChoose={setPartId}
              />
            )}
            <NoteField
              label={say.quarantineWhy}
              value={why}
              against={against('/why')}
              onType={setWhy}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
