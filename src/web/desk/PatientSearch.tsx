/** Search as you type over patients, worked by the arrows and Enter; the last line enters a new one. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { TextField } from '../parts/fields.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { patientInFull, useFoundPatients, type Patient } from './patients.ts';
import { useSettled } from './useSettled.ts';

export function PatientSearch({
  against,
  onPick,
  onNew,
}: {
  readonly against: string | undefined;
  readonly onPick: (patient: Patient) => void;
  /** @param typed what was searched for */
  readonly onNew: (typed: string) => void;
}) {
  const { desk: say } = words.value;
  const id = useId();
  const place = useRef<HTMLDivElement>(null);
  const [typed, setTyped] = useState('');
  const [at, setAt] = useState(0);
  const wanted = typed.trim();
  const settled = useSettled(wanted);
  const { data = [], error, isFetching } = useFoundPatients(settled);
  useEffect(() => {
    // After the sheet's heading took it: the phone is ringing.
    const frame = requestAnimationFrame(() => place.current?.querySelector('input')?.focus());
    return () => cancelAnimationFrame(frame);
  }, []);
  const open = wanted !== '' && settled !== '';
  const found = open ? data : [];
  // Enter must not take a line that belongs to what was typed before.
  const steady = settled === wanted && !isFetching;
  const take = (line: number): void => {
    const patient = found[line];
    if (patient === undefined) onNew(wanted);
    else onPick(patient);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const lines = found.length + 1;
    if (event.key === 'Enter') {
      event.preventDefault();
      if (open && steady) take(Math.min(at, found.length));
    } else if (open && event.key === 'ArrowDown') {
      event.preventDefault();
      setAt((at + 1) % lines);
    } else if (open && event.key === 'ArrowUp') {
      event.preventDefault();
      setAt((at + lines - 1) % lines);
    } else if (event.key === 'Escape') {
      setTyped('');
    }
  };
  const line = (index: number, text: string) => (
    <li
      key={text}
      id={`${id}-${String(index)}`}
      role="option"
      aria-selected={index === Math.min(at, found.length)}
      onClick={() => take(index)}
    >
      {text}
    </li>
  );
  return (
    <div ref={place}>
      <TextField
        label={say.findPatient}
        hint={say.findPatientHint}
        against={against}
        type="text"
        role="combobox"
        autocomplete="off"
        aria-expanded={open}
        aria-controls={`${id}-list`}
        aria-autocomplete="list"
        aria-activedescendant={open ? `${id}-${String(Math.min(at, found.length))}` : undefined}
        value={typed}
        onInput={({ currentTarget }) => {
          setTyped(currentTarget.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      <WentWrong failure={error} />
      <ul id={`${id}-list`} role="listbox" class="lines" aria-label={say.patients} hidden={!open}>
        {found.map((patient, index) => line(index, patientInFull(patient)))}
        {line(found.length, `${say.newPatient}: ${wanted}`)}
      </ul>
      <p role="status" class="hint">
        {open && steady && say.found(found.length)}
      </p>
    </div>
  );
}
