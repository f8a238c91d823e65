/** Entering a patient. Look-alikes are shown while the name is typed, before anything is sent. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { answered, api, Problem } from '../api.ts';
import { once } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { units } from '../words/units.ts';
import { words } from '../words/words.ts';
import { useKept } from './kept.ts';
import { LookAlikes, useLookAlikes } from './LookAlikes.tsx';
import {
  searchedFor,
  EMPTY_PATIENT,
  massShown,
  massTyped,
  patientToAdd,
} from './newPatientDraft.ts';
import type { Patient } from './patients.ts';

export function NewPatient({
  typed,
  today,
  onPick,
  onBack,
}: {
  /** What was searched for: the beginning of the form. */
  readonly typed: string;
  /** At the clinic, as the service says. */
  readonly today: string;
  readonly onPick: (patient: Patient) => void;
  readonly onBack: () => void;
}) {
  const { desk: say } = words.value;
  const place = useRef<HTMLDivElement>(null);
  const [draft, setDraft, forget] = useKept('patient', EMPTY_PATIENT);
  const [others, setOthers] = useState<ReadonlySet<string>>(new Set());
  const [undecided, setUndecided] = useState(false);
  const alike = useLookAlikes(draft);
  useEffect(() => {
    setDraft((before) => ({ ...before, ...searchedFor(typed) }));
    const frame = requestAnimationFrame(() => place.current?.querySelector('input')?.focus());
    return () => cancelAnimationFrame(frame);
  }, []);
  const done = (patient: Patient): void => {
    forget();
    onPick(patient);
  };
  const send = async (key: string): Promise<void> => {
    try {
      const body = patientToAdd(draft, today, [...others]);
      done(await answered(api.POST('/api/v1/patients', { params: { header: once(key) }, body })));
    } catch (failure) {
      if (failure instanceof Problem && failure.code === 'possible-duplicate') {
        setUndecided(true);
        await alike.refetch();
      }
      throw failure;
    }
  };
  return (
    <div ref={place}>
      <ActForm act={say.enter} send={send}>
        {({ against }) => {
          const field = (
            name: Exclude<keyof typeof draft, 'mass' | 'massUnit' | 'measuredOn'>,
            label: string,
            type = 'text',
          ) => (
            <TextField
              label={label}
              type={type}
              autocomplete="off"
              value={draft[name]}
              against={against(`/${name}`)}
              onInput={({ currentTarget: { value } }) =>
                setDraft((before) => ({ ...before, [name]: value }))
              }
            />
          );
          return (
            <>
              {field('familyName', say.familyName)}
              {field('givenName', say.givenName)}
              {field('birthDate', say.birthDate, 'date')}
              {field('phone', say.phone, 'tel')}
              <LookAlikes
                candidates={alike.data?.candidates ?? []}
                others={others}
                undecided={undecided}
                onSame={done}
                onOther={(id, other) => {
                  const after = new Set(others);
                  if (other) after.add(id);
                  else after.delete(id);
                  setOthers(after);
                }}
              />
              {field('chartNumber', say.chartNumber)}
              <TextField
                label={say.bodyMass(units.value.mass)}
                hint={say.bodyMassHint}
                inputMode="decimal"
                autocomplete="off"
                value={massShown(draft)}
                against={
                  against('/bodyMass/massKg') !== undefined && Number.isNaN(massTyped(draft))
                    ? say.notANumber
                    : against('/bodyMass/massKg')
                }
                onInput={({ currentTarget: { value } }) =>
                  setDraft((before) => ({ ...before, mass: value, massUnit: units.value.mass }))
                }
              />
              <TextField
                label={say.weighedOn}
                type="date"
                value={draft.measuredOn ?? today}
                against={against('/bodyMass/measuredOn')}
                onInput={({ currentTarget: { value } }) =>
                  setDraft((before) => ({ ...before, measuredOn: value }))
                }
              />
              {field('address', say.address)}
              <p>
                <button type="button" onClick={onBack}>
                  {say.back}
                </button>
              </p>
            </>
          );
        }}
      </ActForm>
    </div>
  );
}
