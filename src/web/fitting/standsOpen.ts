/** What of a socket stands open before a patient may stand on it: the service judges the same. */
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';

export function standsOpen(socket: Schemas['Socket']): string[] {
  const { fitting: say } = words.value;
  return [
    ...socket.operations
      .filter(({ state }) => state === 'waiting' || state === 'stopped')
      .map(({ title, state }) => say.operationOpen(title, say.operationStates[state])),
    ...socket.joints
      .filter(({ confirmed }) => !confirmed)
      .map(({ kind, openBecause }) => say.jointOpen(say.joints[kind], openBecause ?? '')),
    ...(socket.lockCheckedNow === false ? [say.lockNotChecked] : []),
    ...socket.openFindings.map(({ kind, note }) => say.findingOpen(say.findings[kind], note)),
  ];
}
