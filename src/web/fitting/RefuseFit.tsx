/** The fit is refused: why, where on the limb, what is changed, and what is done next. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once, useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { words } from '../words/words.ts';
import type { LimbArea } from './limbAreas.ts';
import { LimbMap } from './LimbMap.tsx';

type Refusal = Schemas['RejectFitInput'];
type Why = Refusal['reasons'][number];

/** The same set, with one more or one less. */
const toggled = <T,>(set: ReadonlySet<T>, each: T): ReadonlySet<T> => {
  const after = new Set(set);
  if (!after.delete(each)) after.add(each);
  return after;
};

export function RefuseFit({
  socket,
  level,
  onDone,
}: {
  readonly socket: Schemas['Socket'];
  readonly level: Schemas['Order']['level'];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [reasons, setReasons] = useState<ReadonlySet<Why>>(new Set());
  const [areas, setAreas] = useState<ReadonlySet<LimbArea>>(new Set());
  const [changes, setChanges] = useState('');
  const [nextStep, setNextStep] = useState<Refusal['nextStep']>();
  const send = async (key: string): Promise<void> => {
    const params = { path: { socketId: socket.id }, header: once(key) };
    const body = {
      reasons: [...reasons],
      areas: [...areas],
      ...(changes.trim() === '' ? {} : { changes }),
      nextStep: asChosen(nextStep),
    };
    await answered(api.POST('/api/v1/sockets/{socketId}/fit-rejection', { params, body }));
    onDone(say.fitRefused(socket.number));
    await readAgain();
  };
  return (
    <ActForm act={say.refuseFit} send={send}>
      {({ against }) => (
        <>
          <fieldset>
            <legend>{say.why}</legend>
            <div class="choices">
              {(Object.entries(say.fitReasons) as [Why, string][]).map(([why, said]) => (
                <label key={why}>
                  <input
                    type="checkbox"
                    checked={reasons.has(why)}
                    aria-invalid={against('/reasons') === undefined ? undefined : 'true'}
                    onChange={() => setReasons(toggled(reasons, why))}
                  />
                  {said}
                </label>
              ))}
            </div>
            {against('/reasons') !== undefined && (
              <p class="stands-against">{against('/reasons')}</p>
            )}
          </fieldset>
          <LimbMap
            side={socket.order.side}
            level={level}
            marked={areas}
            onMark={(area) => setAreas(toggled(areas, area))}
          />
          <NoteField
            label={say.changes}
            value={changes}
            against={against('/changes')}
            onType={setChanges}
          />
          <Choices
            label={say.nextStep}
            name="next-step"
            of={say.nextSteps}
            value={nextStep}
            against={against('/nextStep')}
            onChoose={setNextStep}
          />
        </>
      )}
    </ActForm>
  );
}
