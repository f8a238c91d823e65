/** The operations of a socket with boxes to sign; done ones filled in as recorded. */
import type { Check } from '../../domain/operations.ts';
import { correctedLines } from '../corrections.ts';
import { recordedWords } from '../dates.ts';
import { drawBlank, drawBox, type Mark } from '../form.ts';
import { space, stack, STYLES, textBlock, type Block, type PaperDocument } from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { headedTable, type Row } from '../table.ts';
import type { SocketWork, TravellerOperation } from './record.ts';
import { figure } from './sheet.ts';

const BOX_PT = 16;
/** Room for a line written by a gloved hand. */
const WRITING_PT = 23;
const ANSWER_SHARE = 0.36;
/** Characters past which an answer no longer stands beside its question. */
const LONG_ANSWER = 60;
const MOST_OF_A_PAGE = 0.75;

const batchLines = (check: { readonly amountAsked: boolean }): readonly string[] =>
  check.amountAsked ? ['lot', 'amount'] : ['lot'];

const MARKS = {
  waiting: 'empty',
  stopped: 'stopped',
  done: 'ticked',
  left_out: 'left_out',
} as const satisfies Record<TravellerOperation['state'], Mark>;

/** The limits of a measured value, in words; empty for other checks. */
function limitsWords(check: Check): string {
  if (check.kind !== 'measured') return '';
  const { min, max, unit } = check;
  if (min !== null && max !== null) return ` (${figure(min, 3)} to ${figure(max, 3)} ${unit})`;
  if (min !== null) return ` (at least ${figure(min, 3)} ${unit})`;
  return max === null ? '' : ` (at most ${figure(max, 3)} ${unit})`;
}

/** Where an answer is to be written: the boxes or lines that its kind of check needs. */
function drawAnswerSpace(
  doc: PaperDocument,
  check: Check,
  xPt: number,
  yPt: number,
  widthPt: number,
): void {
  const foot = yPt + 17;
  const end = xPt + widthPt;
  const word = (text: string, x: number, dropPt = 0): number => {
    doc.type.line(text, x, yPt + 3 + dropPt, STYLES.body);
    return x + doc.type.widthPt(text, STYLES.body) + 4;
  };
  switch (check.kind) {
    case 'yes_no':
      drawBox(doc, xPt, yPt + 3, 13);
      word('yes', xPt + 18);
      drawBox(doc, xPt + 58, yPt + 3, 13);
      word('no', xPt + 76);
      return;
    case 'measured': {
      const unitPt = doc.type.widthPt(check.unit, STYLES.body);
      drawBlank(doc, xPt, foot, widthPt - unitPt - 6);
      word(check.unit, end - unitPt);
      return;
    }
    case 'batch': {
      for (const [at, label] of batchLines(check).entries()) {
        const x = word(label, xPt, at * WRITING_PT);
        drawBlank(doc, x, foot + at * WRITING_PT, end - x);
      }
      return;
    }
    case 'second_person': {
      const x = word('second person', xPt);
      drawBlank(doc, x, foot, end - x);
      return;
    }
    case 'photo':
      drawBox(doc, xPt, yPt + 3, 13);
      word('taken, at the phone', xPt + 18);
      return;
    case 'scan':
      drawBox(doc, xPt, yPt + 3, 13);
      word('scanned, at the phone', xPt + 18);
      return;
    case 'note':
      drawBlank(doc, xPt, foot, widthPt);
  }
}

/** A check with its answer, or with room for one. A long answer stands under its question. */
function checkBlock(doc: PaperDocument, check: Check, answer: string | undefined): Block {
  const ask = textBlock(doc, check.ask + limitsWords(check));
  if (answer !== undefined && answer.length > LONG_ANSWER) {
    return stack([ask, textBlock(doc, answer, STYLES.strong), space(3)]);
  }
  const given = answer === undefined ? null : textBlock(doc, answer, STYLES.strong);
  const emptyPt = check.kind === 'batch' ? batchLines(check).length * WRITING_PT : WRITING_PT;
  const parts = (widthPt: number): readonly [number, number] => [
    widthPt * (1 - ANSWER_SHARE) - 10,
    widthPt * ANSWER_SHARE,
  ];
  return {
    heightPt: (widthPt) => {
      const [askPt, answerPt] = parts(widthPt);
      return Math.max(ask.heightPt(askPt) + 3, given?.heightPt(answerPt) ?? emptyPt);
    },
    draw: (xPt, yPt, widthPt) => {
      const [askPt, answerPt] = parts(widthPt);
      const x = xPt + widthPt - answerPt;
      ask.draw(xPt, yPt + (given === null ? 3 : 0), askPt);
      if (given === null) drawAnswerSpace(doc, check, x, yPt, answerPt);
      else given.draw(x, yPt, answerPt);
    },
  };
}

/**
 * An operation as blocks of which each fits on a page: nearly always one; a
 * second and further ones where it asks very much.
 */
function operationBlocks(
  doc: PaperDocument,
  operation: TravellerOperation,
  widthPt: number,
  timeZone: string,
): Block[] {
  const { state, last } = operation;
  const answers = state === 'done' || state === 'stopped' ? (last?.answers ?? {}) : {};
  const notes = {
    waiting: last === null ? [] : ['To be done again: the last attempt was stopped.'],
    stopped: ['STOPPED: see the open finding before going on.'],
    done: [],
    left_out: ['Left out by a prosthetist.'],
  } satisfies Record<TravellerOperation['state'], readonly string[]>;
  const ahead = state === 'waiting' || state === 'stopped';
  const title = `${operation.seq}. ${operation.title}`;
  const parts = [
    textBlock(doc, title, STYLES.strong),
    ...notes[state].map((note) => textBlock(doc, note, STYLES.strong)),
    ...(operation.caution !== null && ahead
      ? [textBlock(doc, `Caution: ${operation.caution}`)]
      : []),
    ...(state === 'left_out'
      ? []
      : operation.checks.map((check) => checkBlock(doc, check, answers[check.key]))),
    ...correctedLines(last?.corrected, timeZone).flatMap((line) => inParts(doc, line, widthPt)),
  ];
  const groups: Block[][] = [[]];
  let usedPt = 0;
  for (const part of parts) {
    const heightPt = part.heightPt(widthPt);
    if (usedPt > 0 && usedPt + heightPt > doc.pageHeightPt * MOST_OF_A_PAGE) {
      groups.push([textBlock(doc, `${title} (continued)`, STYLES.strong)]);
      usedPt = 0;
    }
    groups.at(-1)?.push(part);
    usedPt += heightPt;
  }
  return groups.map((group) => stack(group));
}

/** Lines of a correction that stay together. Common practice, no source. */
const LINES_TOGETHER = 12;

/** Long words in blocks of a few lines each, so that a page can end between them. */
function inParts(doc: PaperDocument, words: string, widthPt: number): Block[] {
  const lines = doc.type.wrap(words, STYLES.strong, widthPt);
  return Array.from({ length: Math.ceil(lines.length / LINES_TOGETHER) }, (_, at) => {
    const some = lines.slice(at * LINES_TOGETHER, (at + 1) * LINES_TOGETHER);
    return textBlock(doc, some.join('\n'), STYLES.strong);
  });
}

/** Who and when: filled in where done, two lines to write on where not. */
function signBlock(doc: PaperDocument, operation: TravellerOperation, timeZone: string): Block {
  const { last, state } = operation;
  if (state === 'left_out') return textBlock(doc, '');
  if (state !== 'waiting' && last !== null) {
    return textBlock(doc, `${last.by}\n${recordedWords(last, timeZone)}`);
  }
  return {
    heightPt: () => 2 * WRITING_PT,
    draw: (xPt, yPt, widthPt) => {
      for (const [at, label] of ['initials', 'time'].entries()) {
        const y = yPt + at * WRITING_PT;
        doc.type.line(label, xPt, y + 3, STYLES.body);
        const from = doc.type.widthPt('initials', STYLES.body) + 4;
        drawBlank(doc, xPt + from, y + 17, widthPt - from);
      }
    },
  };
}

export function drawOperations(doc: PaperDocument, work: SocketWork, timeZone: string): void {
  if (work.operations.length === 0) return;
  const columns = [
    { title: '', share: 6 },
    { title: 'Operation, checks and answers', share: 70 },
    { title: 'Who, when', share: 24 },
  ];
  const rows = work.operations.flatMap((operation) =>
    operationBlocks(doc, operation, doc.widthPt * 0.68, timeZone).map((block, at): Row => {
      const box: Block = {
        heightPt: () => Math.max(BOX_PT, lineHeightPt(STYLES.strong)),
        draw: (xPt, yPt) => {
          drawBox(doc, xPt, yPt, BOX_PT, MARKS[operation.state]);
        },
      };
      return at === 0 ? [box, block, signBlock(doc, operation, timeZone)] : ['', block, ''];
    }),
  );
  headedTable(doc, `Operations on ${work.number}`, columns, rows, STYLES.subheading);
}

/** For the heading of a socket's part of the traveller. */
export const workTitle = (work: SocketWork): string =>
  `${work.kind === 'check' ? 'Check' : 'Definitive'} socket ${work.number}`;
