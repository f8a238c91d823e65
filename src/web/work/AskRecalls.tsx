/** Many lots or batches at once, pasted from a maker's letter. */
import { useState } from 'preact/hooks';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { words } from '../words/words.ts';
import { entriesOf } from './askedFor.ts';
import { useAsk } from './useAsk.ts';

export function AskRecalls() {
  const { work: say } = words.value;
  const ask = useAsk();
  const [of, setOf] = useState<'lot' | 'batch'>('lot');
  const [pasted, setPasted] = useState('');
  const list = entriesOf(pasted);
  const send = async (key: string): Promise<void> => {
    await ask({ kind: 'recall_of_many', of, list }, key);
    setPasted('');
  };
  return (
    <ActForm act={say.askRecalls} send={send}>
      {({ against }) => (
        <>
          <Choices label={say.listOf} name="of" of={say.lists} value={of} onChoose={setOf} />
          <NoteField
            label={say.list}
            hint={list.length === 0 ? say.listHint : say.entries(list.length)}
            against={
              against('/list') ?? list.map((_, at) => against(`/list/${String(at)}`)).find(Boolean)
            }
            value={pasted}
            onType={setPasted}
          />
        </>
      )}
    </ActForm>
  );
}
