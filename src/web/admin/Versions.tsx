/** The versions of what is never edited but written anew: who, when, and what differs from the one before. */
import { HelpHeading } from '../parts/help.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';

interface Version {
  readonly version: number;
  readonly createdAt: string;
  readonly createdBy: string | null;
}

export function Versions<V extends Version>({
  of,
  changes,
  beside,
}: {
  /** The newest first. */
  readonly of: readonly V[];
  readonly changes: (before: V, after: V) => readonly string[];
  /** What else is to be said of a version. */
  readonly beside?: (version: V) => string | undefined;
}) {
  const { admin: say } = words.value;
  const instantWords = useInstantWords();
  return (
    <section>
      <HelpHeading title={say.versions} text={say.versionsHelp} />
      <ol class="lines versions">
        {of.map((version, at) => {
          const before = of[at + 1];
          return (
            <li key={version.version}>
              <strong>{say.versionBy(version.version, version.createdBy ?? say.atFounding)}</strong>
              , {instantWords(version.createdAt)}
              {at === 0 && <> · {say.inForce}</>}
              {beside?.(version) !== undefined && <div>{beside(version)}</div>}
              {before !== undefined && <Changes of={changes(before, version)} />}
            </li>
          );
        })}
      </ol>
    </section>
  );
}

/** What changed, in sentences. */
export const Changes = ({ of }: { readonly of: readonly string[] }) =>
  of.length === 0 ? (
    <p class="hint">{words.value.admin.nothingDiffers}</p>
  ) : (
    <ul class="changes">
      {of.map((change) => (
        <li key={change}>{change}</li>
      ))}
    </ul>
  );
