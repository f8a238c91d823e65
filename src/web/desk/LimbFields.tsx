/** What is ordered: nothing is chosen beforehand, least of all the side. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import type { Sending } from '../parts/form.tsx';
import { Help } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';
import type { Draft } from './draft.ts';

const FUNCTIONAL_LEVELS = { K0: 'K0', K1: 'K1', K2: 'K2', K3: 'K3', K4: 'K4' } as const;

export function LimbFields({
  draft,
  against,
  onChange,
}: {
  readonly draft: Draft;
  readonly against: Sending['against'];
  readonly onChange: (change: Partial<Draft>) => void;
}) {
  const { desk: say, help, sides, levels, suspensions } = words.value;
  const { data: prosthetists } = useQuery({
    queryKey: ['prosthetists'],
    queryFn: () => answered(api.GET('/api/v1/prosthetists')),
    staleTime: 600_000,
  });
  return (
    <>
      <Choices
        label={say.side}
        name="side"
        of={sides}
        value={draft.side}
        against={against('/side')}
        onChoose={(side) => onChange({ side })}
      />
      <Choices
        label={say.level}
        name="level"
        of={levels}
        value={draft.level}
        against={against('/level')}
        onChoose={(level) => onChange({ level })}
      />
      <Choices
        label={say.suspension}
        name="suspension"
        of={suspensions}
        value={draft.suspension}
        against={against('/suspension')}
        onChoose={(suspension) => onChange({ suspension })}
      />
      <Choices
        label={say.functionalLevel}
        name="functionalLevel"
        of={FUNCTIONAL_LEVELS}
        value={draft.functionalLevel}
        against={against('/functionalLevel')}
        onChoose={(functionalLevel) => onChange({ functionalLevel })}
      />
      <Help of={say.functionalLevel}>{help.functionalLevel}</Help>
      <SelectField
        label={say.prosthetist}
        of={[
          ['', say.noProsthetist],
          ...(prosthetists?.items ?? []).map(({ id, printedName }) => [id, printedName] as const),
        ]}
        value={draft.prosthetistId}
        against={against('/prosthetistId')}
        onChoose={(prosthetistId) => onChange({ prosthetistId })}
      />
      <TextField
        label={say.liner}
        hint={say.linerHint}
        value={draft.liner}
        against={against('/liner')}
        onInput={({ currentTarget }) => onChange({ liner: currentTarget.value })}
      />
      <NoteField
        label={say.note}
        value={draft.note}
        against={against('/note')}
        onType={(note) => onChange({ note })}
      />
    </>
  );
}
