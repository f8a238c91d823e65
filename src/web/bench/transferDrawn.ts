/** The drawing of a transfer, in the words of this language. */
import type { Figure } from '../../documents/figures/figure.ts';
import { transferFigure, type TransferAt } from '../../documents/figures/transfer.ts';
import { words } from '../words/words.ts';
import { positionsOf } from './positions.ts';
import type { Position, Socket } from './record.ts';

/**
 * @param staying pieces of the old socket that are to stay, beside the single-use ones
 * @param fresh the positions for which a fresh piece is chosen
 */
export function transferDrawn(
  from: Socket,
  to: Socket,
  staying: readonly string[],
  fresh: ReadonlySet<Position>,
): Figure {
  const { bench: say } = words.value;
  const at = positionsOf(to.order.suspension, from.hardware).map((position): TransferAt => {
    const old = from.hardware.find((each) => each.position === position);
    const there = to.hardware.some((each) => each.position === position);
    const label = say.positions[position];
    if (there) {
      const left = old === undefined ? ('empty' as const) : ('stays' as const);
      return told(position, label, left, old?.singleUse === true, 'there');
    }
    if (old === undefined) return told(position, label, 'empty', false, 'empty');
    if (!old.singleUse && !staying.includes(old.itemId)) {
      return told(position, label, 'moves', false, 'comes');
    }
    const arrives = fresh.has(position) ? 'fresh' : 'awaited';
    return told(position, label, 'stays', old.singleUse, arrives);
  });
  return transferFigure({
    title: say.transfer,
    description: at
      .map(({ label, oldWords, newWords }) => `${label}: ${oldWords}; ${newWords}.`)
      .join(' '),
    oldTitle: say.oldSocket,
    oldNumber: from.number,
    newTitle: say.newSocket,
    newNumber: to.number,
    at,
  });
}

function told(
  position: Position,
  label: string,
  old: TransferAt['old'],
  singleUse: boolean,
  arrives: TransferAt['new'],
): TransferAt {
  const { bench: say } = words.value;
  const oldWords = singleUse ? say.singleUse : say.leaves[old];
  return { position, label, old, oldWords, new: arrives, newWords: say.arrives[arrives] };
}
