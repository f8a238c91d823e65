/** How a kept act stands, in words. */
import { person } from '../session/session.ts';
import { words } from '../words/words.ts';
import { waitsBehind } from './acts.ts';
import type { KeptAct } from './queue.ts';
import { offline } from './reach.ts';

export function stateWords(act: KeptAct): string {
  const { states } = words.value.offline;
  switch (act.state.kind) {
    case 'waiting': {
      const behind = waitsBehind(act);
      if (behind !== undefined) return states.behind(behind.said);
      if (offline.value) return states.waiting;
      return person.value == null ? states.signIn : states.sending;
    }
    case 'refused':
      return states.refused;
    case 'again':
      return states.again;
    case 'aside':
      return states.aside;
    case 'over':
      return act.state.how === 'on_record' ? states.onRecord : states.doneAgain;
  }
}
