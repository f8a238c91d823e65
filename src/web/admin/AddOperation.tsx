/** A further operation, at the end of the list; from there it is moved to its place. */
import { useState } from 'preact/hooks';
import { OPERATION_KIND_NAMES, OPERATION_KINDS } from '../../domain/operations.ts';
import type { SocketKind } from '../../domain/words.ts';
import { SelectField } from '../parts/selectField.tsx';
import { WithHelp } from '../parts/help.tsx';
import { words } from '../words/words.ts';
import { nextAt, type OperationTyped } from './routeDraft.ts';

export function AddOperation({
  socketKind,
  onAdd,
}: {
  readonly socketKind: SocketKind;
  readonly onAdd: (operation: OperationTyped) => void;
}) {
  const { routes: say } = words.value.admin;
  const kinds = OPERATION_KIND_NAMES.filter((kind) =>
    OPERATION_KINDS[kind].sockets.some((each) => each === socketKind),
  );
  const [kind, setKind] = useState(kinds[0]);
  if (kind === undefined) return null;
  const add = (): void =>
    onAdd({
      at: nextAt(),
      kind,
      title: say.kinds[kind],
      caution: '',
      bench: '',
      plannedMinutes: '',
      checks: [],
    });
  return (
    <div class="filters">
      <WithHelp about={say.addKind} text={say.addKindHelp}>
        <SelectField
          label={say.addKind}
          of={kinds.map((each) => [each, say.kinds[each]] as const)}
          value={kind}
          onChoose={(chosen) => setKind(kinds.find((each) => each === chosen))}
        />
      </WithHelp>
      <p>
        <button type="button" onClick={add}>
          {say.addOperation}
        </button>
      </p>
    </div>
  );
}
