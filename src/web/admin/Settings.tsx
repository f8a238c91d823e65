/** The torque settings of a part: the one in force, those that it superseded, and a new one. */
import type { Schemas } from '../api.ts';
import { settingCarriers } from '../../domain/partEntry.ts';
import { JOINT_KINDS } from '../../domain/words.ts';
import { HelpHeading } from '../parts/help.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';
import { NewSetting } from './NewSetting.tsx';
import { bandWords, clampWords } from './settingWords.ts';

export function Settings({
  part,
  onSaid,
}: {
  readonly part: Schemas['Part'];
  readonly onSaid: (said: string) => void;
}) {
  const { parts: say } = words.value.admin;
  const joints = JOINT_KINDS.filter((joint) => settingCarriers(joint).includes(part.kind));
  if (joints.length === 0 && part.settings.length === 0) {
    return <p class="hint">{say.settingElsewhere}</p>;
  }
  return (
    <section>
      <HelpHeading title={say.settings} text={say.settingsHelp} />
      {part.settings.length === 0 && <p class="caution">{say.noSetting}</p>}
      {part.settings.map((setting) => (
        <SettingShown key={setting.id} setting={setting} />
      ))}
      {joints.length > 0 && (
        <details>
          <summary>{say.newSetting}</summary>
          <NewSetting part={part} joints={joints} onSaid={onSaid} />
        </details>
      )}
    </section>
  );
}

function SettingShown({ setting }: { readonly setting: Schemas['TorqueSetting'] }) {
  const { parts: say } = words.value.admin;
  const instantWords = useInstantWords();
  const { fastenerCount, fastenerSize, propertyClass } = setting;
  return (
    <div class={setting.supersededAt === null ? 'setting' : 'setting superseded'}>
      <p>
        <strong>
          {say.joints[setting.jointKind]}: {bandWords(setting)}
        </strong>{' '}
        {say.fasteners(fastenerCount, fastenerSize, propertyClass)},{' '}
        {say.threadlockers[setting.threadlocker]}
      </p>
      <p>{say.fromDocument(setting.document, setting.revision)}</p>
      <p class="hint">{clampWords(setting.clampLoad)}</p>
      {setting.questions.map(({ code, detail, wayOut }) => (
        <p key={code} class="caution">
          {detail} {wayOut}
        </p>
      ))}
      <p class="hint">
        {setting.supersededAt === null
          ? say.since(instantWords(setting.recordedAt))
          : say.fromTo(instantWords(setting.recordedAt), instantWords(setting.supersededAt))}
      </p>
    </div>
  );
}
