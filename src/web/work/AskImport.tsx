/** Parts from a CSV file: looked at first, entered all at once or not at all. */
import { useId, useState } from 'preact/hooks';
import { Choices, More } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import { useAsk } from './useAsk.ts';

export function AskImport() {
  const { work: say } = words.value;
  const ask = useAsk();
  const id = useId();
  const [csv, setCsv] = useState('');
  const [then, setThen] = useState<'look' | 'enter'>('look');
  const send = (key: string): Promise<void> =>
    ask({ kind: 'parts_import', csv, enter: then === 'enter' }, key);
  return (
    <ActForm act={then === 'enter' ? say.enterParts : say.lookAtParts} send={send}>
      {({ against }) => (
        <>
          <div class="field">
            <label class="label" for={id}>
              {say.file}
            </label>
            <input
              id={id}
              type="file"
              accept=".csv,text/csv"
              aria-invalid={against('/csv') === undefined ? undefined : 'true'}
              aria-describedby={`${id}-more`}
              onChange={({ currentTarget }) => {
                void currentTarget.files?.[0]?.text().then(setCsv);
              }}
            />
            <More id={id} hint={say.fileHint} against={against('/csv')} />
          </div>
          <Choices label={say.then} name="then" of={say.thens} value={then} onChoose={setThen} />
        </>
      )}
    </ActForm>
  );
}
