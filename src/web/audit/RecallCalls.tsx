/** The calls to one wearer: those that were made, and the next one, noted as it ends. */
import { useState } from 'preact/hooks';
import { CALL_OUTCOMES, type CallOutcome } from '../../domain/recall.ts';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';

type Call = Schemas['Recall']['wearers'][number]['calls'][number];

/** What is called about: a lot of hardware, or a batch by its id. */
export type CalledAbout = { readonly lot: string } | { readonly batchId: string };

export function CallsMade({ calls }: { readonly calls: readonly Call[] }) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  if (calls.length === 0) return <>{say.notCalled}</>;
  return (
    <ul class="calls">
      {calls.map(({ id, outcome, note, calledAt, calledBy }) => (
        <li key={id}>
          <strong>{say.outcomes[outcome]}</strong>, {at(calledAt)}, {calledBy}
          {note === null ? '' : `: ${note}`}
        </li>
      ))}
    </ul>
  );
}

const OUTCOMES = (): Record<CallOutcome, string> => {
  const { outcomes } = words.value.audit;
  return Object.fromEntries(CALL_OUTCOMES.map((each) => [each, outcomes[each]])) as Record<
    CallOutcome,
    string
  >;
};

export function NoteCall({
  about,
  socketId,
  patient,
  onNoted,
}: {
  readonly about: CalledAbout;
  readonly socketId: string;
  readonly patient: string;
  readonly onNoted: (call: Call) => void;
}) {
  const { audit: say } = words.value;
  const [open, setOpen] = useState(false);
  const [outcome, setOutcome] = useState<CallOutcome>();
  const [note, setNote] = useState('');
  const send = async (key: string): Promise<void> => {
    const said = note.trim() === '' ? {} : { note: note.trim() };
    const body = { ...about, socketId, outcome: asChosen(outcome), ...said };
    const params = { header: once(key) };
    const made = await answered(api.POST('/api/v1/recall/calls', { params, body }));
    setOpen(false);
    setNote('');
    setOutcome(undefined);
    onNoted(made.call);
  };
  return (
    <details
      open={open}
      onToggle={({ currentTarget }) => setOpen(currentTarget.open)}
      class="note-call"
    >
      <summary aria-label={say.noteCallOf(patient)}>{say.noteCall}</summary>
      {open && (
        <ActForm act={say.noteCall} send={send}>
          {({ against }) => (
            <>
              <Choices
                label={say.outcome}
                name={`outcome ${socketId}`}
                of={OUTCOMES()}
                value={outcome}
                against={against('/outcome')}
                onChoose={setOutcome}
              />
              <TextField
                label={say.callNote}
                value={note}
                against={against('/note')}
                onInput={({ currentTarget }) => setNote(currentTarget.value)}
              />
            </>
          )}
        </ActForm>
      )}
    </details>
  );
}
