/** What of the orders is shown: by stage, held, late, at risk; and sorted how. */
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import type { Asked } from './asked.ts';

export function OrderFilters({
  asked,
  change,
}: {
  readonly asked: Asked;
  readonly change: (part: Partial<Asked>) => void;
}) {
  const { orders: say, desk, stages } = words.value;
  return (
    <div class="filters">
      <SelectField
        label={desk.stage}
        of={[['', desk.underWay], ['all', desk.everyStage], ...Object.entries(stages)]}
        value={asked.stage}
        onChoose={(stage) => change({ stage })}
      />
      <SelectField
        label={desk.sort}
        of={Object.entries(desk.sorts)}
        value={asked.sort === '' ? 'pressing' : asked.sort}
        onChoose={(sort) => change({ sort: sort === 'pressing' ? '' : sort })}
      />
      <Tick label={desk.heldOnly} value={asked.held} onTick={(held) => change({ held })} />
      <Tick label={say.lateOnly} value={asked.late} onTick={(late) => change({ late })} />
      <Tick label={say.atRiskOnly} value={asked.atRisk} onTick={(atRisk) => change({ atRisk })} />
    </div>
  );
}

const Tick = ({
  label,
  value,
  onTick,
}: {
  readonly label: string;
  readonly value: string;
  readonly onTick: (value: string) => void;
}) => (
  <label class="tick">
    <input
      type="checkbox"
      checked={value === 'true'}
      onChange={({ currentTarget }) => onTick(currentTarget.checked ? 'true' : '')}
    />
    {label}
  </label>
);
