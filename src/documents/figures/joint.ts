/**
 * The drawing of a joint (C4): its screws with the order of tightening, the passes
 * with what to aim for in each, its setting with document and revision, and what to mind.
 */
import { TIGHTENING_PASSES, tighteningOrder } from '../../domain/fasteners.ts';
import type { TorqueSetting } from '../../domain/torque.ts';
import type { Side } from '../../domain/words.ts';
import { aimNm, bandWords } from '../torqueWords.ts';
import { figure as decimals } from '../traveller/sheet.ts';
import { TEXT_PT, type Figure, type Shape } from './figure.ts';
import { screwFigure, shifted } from './screws.ts';

export interface JointDrawing {
  /** Which joint of which socket; null where the drawing is for any of so many screws. */
  readonly of: string | null;
  readonly fastenerCount: number;
  readonly side: Side | null;
  /** Null where no joint is meant, and the passes stand as shares of a setting. */
  readonly setting: TorqueSetting | null;
  /** The part that carries the setting. */
  readonly settingFrom: string | null;
  /** Confirmed, or why it is open, in words. */
  readonly status: string | null;
  readonly cautions: readonly string[];
}

const WIDTH_PT = 520;
const MARGIN_PT = 10;
const LEADING_PT = 15;
const RIGHT_PT = 268;
const BAR_PT = { width: 200, height: 13 };
/** Letters to a line, at the body size: there is no typeface here to measure with. */
const LETTERS = { title: 56, whole: 86, right: 40 };

/** Breaks at blanks, and inside a word only where it is longer than a line. */
function wrapped(text: string, letters: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).flatMap((each) => cut(each, letters))) {
    if (line !== '' && line.length + 1 + word.length > letters) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' ? lines : [...lines, line];
}

const cut = (word: string, letters: number): string[] =>
  word.match(new RegExp(`.{1,${letters}}`, 'gsu')) ?? [];

interface Line {
  readonly text: string;
  readonly sizePt?: number;
  readonly bold?: boolean;
}

/** Lines under one another from the top `y`; gives where the next would begin. */
function written(lines: readonly Line[], x: number, top: number): { shapes: Shape[]; y: number } {
  let y = top;
  const shapes = lines.map(({ text, sizePt = TEXT_PT, bold = false }): Shape => {
    y += sizePt + LEADING_PT - TEXT_PT;
    return { kind: 'text', text, at: { x, y: y - 4 }, sizePt, bold };
  });
  return { shapes, y };
}

/** What to aim for in each pass, in words. */
const passWords = (setting: TorqueSetting | null): string[] =>
  TIGHTENING_PASSES.map(({ pass, name, share }) => {
    const aim =
      setting === null
        ? share < 1
          ? `about ${decimals(100 * share)} % of the setting`
          : 'within the band of the setting'
        : share < 1
          ? `about ${decimals(aimNm(setting, share))} N·m`
          : `within ${bandWords(setting.torqueMinNm, setting.torqueMaxNm, 'N.m')}`;
    return `Pass ${pass}, ${name}: ${aim}`;
  });

/** A bar for each pass, as long as its share of the setting. */
function passBars(setting: TorqueSetting | null, top: number): { shapes: Shape[]; y: number } {
  let y = top;
  const shapes = passWords(setting).flatMap((words, at): Shape[] => {
    const share = TIGHTENING_PASSES[at]?.share ?? 1;
    const text = written([{ text: words, bold: true }], RIGHT_PT, y);
    const [from, to] = [text.y + 1, text.y + 1 + BAR_PT.height];
    y = to + 7;
    const bar = (width: number) => [
      { x: RIGHT_PT, y: from },
      { x: RIGHT_PT + width, y: from },
      { x: RIGHT_PT + width, y: to },
      { x: RIGHT_PT, y: to },
    ];
    return [
      ...text.shapes,
      { kind: 'path', closed: true, points: bar(BAR_PT.width * share), bare: true, fill: 'grey' },
      { kind: 'path', closed: true, points: bar(BAR_PT.width) },
    ];
  });
  return { shapes, y };
}

function settingLines({ setting, settingFrom }: JointDrawing): Line[] {
  if (setting === null) return [];
  const { fastenerCount, fastenerSize, propertyClass, torqueMinNm, torqueMaxNm } = setting;
  const source = `Setting of ${settingFrom ?? 'the part'}: ${setting.document}, revision ${setting.revision}`;
  return [
    { text: bandWords(torqueMinNm, torqueMaxNm, 'N.m'), sizePt: 20, bold: true },
    { text: bandWords(torqueMinNm, torqueMaxNm, 'lbf.in'), bold: true },
    { text: `${fastenerCount} × ${fastenerSize}, class ${propertyClass}`, bold: true },
    {
      text: setting.threadlocker === 'required' ? 'Threadlocker: REQUIRED' : 'Threadlocker: none',
      bold: true,
    },
    ...wrapped(source, LETTERS.right).map((text) => ({ text })),
  ];
}

/** @throws RangeError where there are not 1 to 8 fasteners: a fault of the program */
export function jointFigure(drawing: JointDrawing): Figure {
  const { of, fastenerCount, side, setting, status, cautions } = drawing;
  const screws = screwFigure(fastenerCount, side);
  const title = of ?? screws.title;
  const order = tighteningOrder(fastenerCount);
  const head = written(
    [
      ...wrapped(title, LETTERS.title).map((text) => ({ text, sizePt: 14, bold: true })),
      ...(status === null
        ? []
        : wrapped(status, LETTERS.whole).map((text) => ({ text, bold: true }))),
    ],
    MARGIN_PT,
    MARGIN_PT,
  );
  const top = head.y + 8;
  const facts = written(settingLines(drawing), RIGHT_PT, top);
  const bars = passBars(setting, facts.y + 6);
  const orderLine = written(
    order.length === 1 ? [] : [{ text: `Order ${order.join(' – ')}, in each pass`, bold: true }],
    RIGHT_PT,
    bars.y,
  );
  const below = Math.max(top + screws.heightPt, orderLine.y) + 8;
  const minds = written(
    cautions.flatMap((caution) =>
      wrapped(caution, LETTERS.whole).map((text, at) => ({
        text: at === 0 ? `• ${text}` : `   ${text}`,
      })),
    ),
    MARGIN_PT,
    below,
  );
  return {
    title,
    description: [
      ...(status === null ? [] : [status]),
      screws.description,
      ...settingLines(drawing).map(({ text }) => text),
      ...passWords(setting),
      ...cautions,
    ].join(' '),
    widthPt: WIDTH_PT,
    heightPt: minds.y + MARGIN_PT,
    shapes: [
      ...head.shapes,
      ...shifted(screws.shapes, { x: MARGIN_PT, y: top }),
      ...facts.shapes,
      ...bars.shapes,
      ...orderLine.shapes,
      ...minds.shapes,
    ],
  };
}
