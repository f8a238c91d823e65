/** Layup rules as they are typed: what stands against them, and what they come to, is told at once. */
import { useEffect } from 'preact/hooks';
import type { Fabric } from '../../domain/fabrics.ts';
import { ALLOWANCE_RANGES, judgeLayupRules, LAYUP_RANGES } from '../../domain/layupRules.ts';
import { answered, api, Problem, type Schemas } from '../api.ts';
import { useKept } from '../desk/kept.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { said, saidAsRecorded } from '../words/said.ts';
import { words } from '../words/words.ts';
import { ExampleLimb } from './ExampleLimb.tsx';
import { Field } from './Field.tsx';
import { readRules } from './versionsRead.ts';
import { moved } from './routeDraft.ts';
import { PutBack } from './PutBack.tsx';
import { RowEditor } from './RowEditor.tsx';
import { rulesChanges } from './rulesChanges.ts';
import {
  begunFrom,
  emptyRow,
  FIGURES,
  notNumbers,
  pointerOf,
  rulesOf,
  type Rules,
  type RulesTyped,
} from './rulesDraft.ts';
import { notSent, racedBy } from './values.ts';
import { Changes } from './Versions.tsx';

const RANGES = { ...LAYUP_RANGES, ...ALLOWANCE_RANGES };

export function RulesForm({
  inForce,
  fabrics,
  onSaid,
}: {
  readonly inForce: Rules;
  readonly fabrics: readonly Fabric[];
  readonly onSaid: (said: string) => void;
}) {
  const { admin, service } = words.value;
  const { rules: say } = admin;
  const readAgain = useReadAgain();
  const [draft, setDraft, forget] = useKept('layup rules', begunFrom(inForce));
  const beginFrom = (rules: Rules): void => {
    setDraft(() => begunFrom(rules));
    forget();
  };
  const typed = rulesOf(draft);
  const unread = notNumbers(draft);
  const judged = judgeLayupRules(typed, fabrics).map((each) => said(each));
  const changes = rulesChanges(draft.base, typed);
  useEffect(() => {
    // What somebody else wrote is taken over only where nothing was typed yet.
    if (changes.length === 0) beginFrom(inForce);
  }, [inForce.id]);
  const wrongAt = (pointer: string): string | undefined =>
    unread.includes(pointer)
      ? service.noNumber
      : judged.find(({ field }) => field === pointer)?.detail;
  const setRows = (rows: RulesTyped['rows']): void => setDraft((before) => ({ ...before, rows }));
  const send = async (key: string): Promise<void> => {
    onSaid('');
    // What it is that cannot be read stands beside its field already.
    if (unread.length > 0) throw notSent([]);
    const { version: _next, ...body } = typed;
    try {
      const written = await answered(
        api.POST('/api/v1/layup-rules', {
          params: { header: once(key) },
          body: {
            basedOnVersion: draft.base.version,
            ...body,
          } as Schemas['LayupRulesToWriteInput'],
        }),
      );
      await readAgain();
      beginFrom(written);
      onSaid(say.written(written.version));
    } catch (failure) {
      if (failure instanceof Problem && failure.code === 'version-is-stale') {
        const [theirs] = (await readRules()).items;
        if (theirs !== undefined) {
          setDraft((before) => ({ ...before, base: theirs }));
          void readAgain();
          throw racedBy(rulesChanges(draft.base, theirs), say.racedWayOut);
        }
      }
      throw failure;
    }
  };
  return (
    <ActForm act={say.write} send={send}>
      {({ against }) => {
        const stands = (pointer: string): string | undefined =>
          wrongAt(pointer) ?? against(pointer);
        return (
          <>
            <HelpHeading title={say.rows} text={say.rowsHelp} />
            <div role="status">
              {judged
                .filter(({ field }) => field === '/rows')
                .map(({ detail, wayOut }) => (
                  <p key={detail} class="stands-against">
                    {detail} {wayOut}
                  </p>
                ))}
            </div>
            <ol class="layers">
              {draft.rows.map((row, at) => (
                <RowEditor
                  key={row.at}
                  n={at + 1}
                  row={row}
                  fabrics={fabrics}
                  against={(rest) => stands(`/rows/${at}${rest}`)}
                  onChange={(to) =>
                    setRows(draft.rows.map((each) => (each.at === to.at ? to : each)))
                  }
                  onUp={at === 0 ? undefined : () => setRows(moved(draft.rows, at, -1))}
                  onTakeOut={() => setRows(draft.rows.filter((each) => each !== row))}
                />
              ))}
            </ol>
            <p>
              <button
                type="button"
                onClick={() => setRows([...draft.rows, emptyRow(draft.figures.topBodyMassKg)])}
              >
                {say.addRow}
              </button>
            </p>
            <HelpHeading title={say.forAll} text={say.forAllHelp} />
            <div class="entry">
              {FIGURES.map((name) => (
                <Field
                  key={name}
                  spec={{
                    key: name,
                    kind: 'number',
                    label: say.figures[name],
                    help: say.figuresHelp[name],
                    hint: admin.usually(saidAsRecorded(RANGES[name].usual)),
                  }}
                  typed={draft.figures[name]}
                  against={stands(pointerOf(name))}
                  onType={(value) =>
                    setDraft((before) => ({
                      ...before,
                      figures: { ...before.figures, [name]: value },
                    }))
                  }
                />
              ))}
            </div>
            <ExampleLimb inForce={draft.base} typed={typed} fabrics={fabrics} />
            <h2>{say.whatChanges(draft.base.version)}</h2>
            <Changes of={changes} />
            <PutBack when={changes.length > 0} onPutBack={() => beginFrom(inForce)} />
          </>
        );
      }}
    </ActForm>
  );
}
