/**
 * A torque setting from the maker's document. What it would make of its fasteners (R5) stands
 * there before it is saved: pound-inches typed as newton-metres are seen at once.
 */
import { clampLoadOf } from '../../domain/clampLoad.ts';
import { toNewtonMetres, TORQUE_UNIT_SYMBOLS } from '../../domain/torqueUnits.ts';
import {
  FASTENER_SIZES,
  PROPERTY_CLASSES,
  TORQUE_UNITS,
  type JointKind,
} from '../../domain/words.ts';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { said, saidAsRecorded } from '../words/said.ts';
import { words } from '../words/words.ts';
import { NewRecord } from './NewRecord.tsx';
import { bandWords, clampWords } from './settingWords.ts';
import { numberTyped } from './numberTyped.ts';
import type { FieldSpec, Typed } from './values.ts';

const same = (list: readonly string[]): (readonly [string, string])[] =>
  list.map((each) => [each, each] as const);

function fieldsOf(joints: readonly JointKind[]): readonly FieldSpec[] {
  const { parts: say } = words.value.admin;
  const { setting, settingHelp: help } = say;
  return [
    {
      key: 'jointKind',
      kind: 'choice',
      label: setting.jointKind,
      help: help.jointKind,
      of: joints.map((joint) => [joint, say.joints[joint]] as const),
    },
    { key: 'document', kind: 'text', label: setting.document, help: help.document },
    { key: 'revision', kind: 'text', label: setting.revision, help: help.revision },
    {
      key: 'unit',
      kind: 'choice',
      label: setting.unit,
      help: help.unit,
      of: Object.entries(TORQUE_UNIT_SYMBOLS),
    },
    { key: 'torqueMin', kind: 'number', label: setting.torqueMin, help: help.torqueMin },
    { key: 'torqueMax', kind: 'number', label: setting.torqueMax, help: help.torqueMax },
    { key: 'fastenerCount', kind: 'number', label: setting.fastenerCount },
    {
      key: 'fastenerSize',
      kind: 'choice',
      label: setting.fastenerSize,
      of: same(FASTENER_SIZES),
    },
    {
      key: 'propertyClass',
      kind: 'choice',
      label: setting.propertyClass,
      help: help.propertyClass,
      of: same(PROPERTY_CLASSES),
    },
    {
      key: 'threadlocker',
      kind: 'choice',
      label: setting.threadlocker,
      help: help.threadlocker,
      of: Object.entries(say.threadlockers),
    },
  ];
}

export function NewSetting({
  part,
  joints,
  onSaid,
}: {
  readonly part: Schemas['Part'];
  readonly joints: readonly JointKind[];
  readonly onSaid: (said: string) => void;
}) {
  const { parts: say } = words.value.admin;
  return (
    <NewRecord
      name={`setting ${part.id}`}
      sectionsOf={() => [{ fields: fieldsOf(joints) }]}
      start={joints.length === 1 ? { jointKind: joints[0] ?? '' } : {}}
      act={say.saveSetting}
      add={(values, key) =>
        answered(
          api.POST('/api/v1/parts/{partId}/torque-settings', {
            params: { path: { partId: part.id }, header: once(key) },
            body: values as unknown as Schemas['TorqueSettingToAddInput'],
          }),
        )
      }
      onDone={({ clampLoad }) => onSaid(say.settingSaved(clampWords(clampLoad)))}
    >
      {(typed) => <Questioned typed={typed} />}
    </NewRecord>
  );
}

/** R5, as far as it can be told from what is typed so far. */
function Questioned({ typed }: { readonly typed: Typed }) {
  const { parts: say } = words.value.admin;
  const setting = settingTyped(typed);
  if (setting === undefined) return <p class="hint">{say.clampLater}</p>;
  const { clampLoad, questions } = clampLoadOf(setting, setting.unit);
  const questioned = questions.length > 0;
  return (
    <div class={questioned ? 'problem' : 'caution'} role="status">
      <strong>
        {bandWords(setting)}. {clampWords(clampLoad)}
      </strong>
      {questions.map(said).map(({ code, detail, wayOut }) => (
        <p key={code}>
          {detail} {wayOut}
        </p>
      ))}
      <p>
        {say.clampIsEstimate(
          saidAsRecorded(clampLoad.nutFactorSource),
          saidAsRecorded(clampLoad.limitSource),
        )}
      </p>
    </div>
  );
}

function settingTyped(typed: Typed) {
  const unit = TORQUE_UNITS.find((each) => each === typed['unit']);
  const fastenerSize = FASTENER_SIZES.find((each) => each === typed['fastenerSize']);
  const propertyClass = PROPERTY_CLASSES.find((each) => each === typed['propertyClass']);
  const [from, to] = [numberTyped(typed['torqueMin'] ?? ''), numberTyped(typed['torqueMax'] ?? '')];
  const whole = unit !== undefined && fastenerSize !== undefined && propertyClass !== undefined;
  if (!whole || !Number.isFinite(from) || !Number.isFinite(to)) return undefined;
  const threadlocker = typed['threadlocker'] === 'required' ? 'required' : 'none';
  return {
    unit,
    fastenerSize,
    propertyClass,
    threadlocker,
    torqueMinNm: toNewtonMetres(from, unit),
    torqueMaxNm: toNewtonMetres(to, unit),
  } as const;
}
