/** What an event of an order says, with the stage or the hold that it led to. */
import { LOOKS } from '../../domain/eventKinds.ts';
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';

type OrderEvent = Schemas['OrderEvent'];

export function eventWords({ kind, data }: OrderEvent): string {
  const { audit, stages, holds } = words.value;
  // A kind that this build does not know yet is named as the record names it.
  const what = (audit.eventKinds as Readonly<Record<string, string>>)[kind] ?? kind;
  const after = data['after'];
  const to =
    typeof after === 'string'
      ? ({ ...stages, ...holds } as Readonly<Record<string, string>>)[after]
      : undefined;
  return to === undefined ? what : `${what}: ${to}`;
}

/** What the desk itself did is no news of the limb. */
const OF_THE_DESK = /^(?:appointment|order\.(?:opened|changed|put_on_hold|resumed))\b/;

/** Whether it is work on the limb: somebody who only looked did none. */
export const isWork = ({ kind }: OrderEvent): boolean =>
  !OF_THE_DESK.test(kind) && !(LOOKS as readonly string[]).includes(kind);
