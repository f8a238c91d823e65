/** What sits where in a socket, one line each. */
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';

export function HardwareWords({ of }: { of: Schemas['Socket']['hardware'] }) {
  const { fitting: say } = words.value;
  if (of.length === 0) return <>{say.noHardware}</>;
  return (
    <ul class="plain">
      {of.map(({ itemId, label, position }) => (
        <li key={itemId}>
          {say.positions[position]}: {label}
        </li>
      ))}
    </ul>
  );
}
