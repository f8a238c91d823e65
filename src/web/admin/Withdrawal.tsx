/** What is in use is withdrawn, and taken back into use. Nothing is deleted (R10). */
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';

export function Withdrawal({
  record,
  change,
  onSaid,
}: {
  readonly record: { readonly active: boolean; readonly name: string };
  readonly change: (active: boolean) => Promise<unknown>;
  readonly onSaid: (said: string) => void;
}) {
  const { admin: say } = words.value;
  const readAgain = useReadAgain();
  const send = async (): Promise<void> => {
    const { active, name } = record;
    await change(!active);
    await readAgain();
    onSaid(active ? say.wasWithdrawn(name) : say.wasTakenBack(name));
  };
  return (
    <details>
      <summary>{record.active ? say.withdraw : say.takeBack}</summary>
      <p>{record.active ? say.withdrawHelp : say.takeBackHelp}</p>
      <ActForm act={record.active ? say.withdraw : say.takeBack} send={send}>
        {() => null}
      </ActForm>
    </details>
  );
}
