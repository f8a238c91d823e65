/** What became of the limb since its accepted cast; where the clinic asks, the prosthetist decides. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once, useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Help } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { Facts } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { lengthWords, measures } from '../words/units.ts';
import { signed } from '../words/figures.ts';
import { dayWords, words } from '../words/words.ts';

type Comparison = Schemas['VolumeComparison'];
type Decision = Schemas['VolumeDecisionToMakeInput']['decision'];

export function LimbChange({
  change,
  onDone,
}: {
  readonly change: Comparison;
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say, help } = words.value;
  const { decision } = change;
  return (
    <section aria-label={say.sinceCast}>
      <h2>{say.sinceCast}</h2>
      <ChangeFacts change={change} />
      <Help of={say.ply}>{help.ply}</Help>
      {decision !== null && (
        <p class="caution">
          {say.decidedSo(say.decisions[decision.decision], decision.decidedBy)} {decision.why}
        </p>
      )}
      {change.asks !== null && decision === null && (
        <>
          <p class="caution">
            {change.asks.detail} {change.asks.wayOut}
          </p>
          {may('prosthetist') && <Decide change={change} onDone={onDone} />}
        </>
      )}
    </section>
  );
}

/** Between which days and heights, how much, and how many ply of sock. */
export function ChangeFacts({ change }: { readonly change: Comparison }) {
  const { fitting: say } = words.value;
  const { first, second } = change;
  return (
    <Facts
      of={[
        [say.between, `${dayWords(first.takenOn)} – ${dayWords(second.takenOn)}`],
        [
          say.heightsCompared,
          `${measures.value.length.of(change.fromMm, 0)} – ${lengthWords(change.toMm)}`,
        ],
        [say.change, `${signed(change.differenceMl, 0)} mL (${signed(change.percent, 1)} %)`],
        [say.ply, signed(change.ply, 0)],
      ]}
    />
  );
}

function Decide({ change, onDone }: { change: Comparison; onDone: (said: string) => void }) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [decision, setDecision] = useState<Decision>();
  const [why, setWhy] = useState('');
  const send = async (key: string): Promise<void> => {
    const body = {
      firstSetId: change.first.id,
      secondSetId: change.second.id,
      decision: asChosen(decision),
      ...(why.trim() === '' ? {} : { why }),
    };
    const params = { header: once(key) };
    const { whatNext } = await answered(api.POST('/api/v1/volume-decisions', { params, body }));
    onDone(whatNext?.words ?? say.decided);
    await readAgain();
  };
  return (
    <ActForm act={say.decide} send={send}>
      {({ against }) => (
        <>
          <Choices
            label={say.decision}
            name="decision"
            of={say.decisions}
            value={decision}
            against={against('/decision')}
            onChoose={setDecision}
          />
          <NoteField
            label={say.decisionWhy}
            value={why}
            against={against('/why')}
            onType={setWhy}
          />
        </>
      )}
    </ActForm>
  );
}
