/**
 * The wearer's sheet: what the person who wears the limb takes home, in plain words and large
 * type. Its advice is common practice, no source; the maker's instructions and the licensed
 * prosthetist come first, and the sheet says so.
 */
import type { Day } from '../domain/days.ts';
import type { Level, Side, Suspension } from '../domain/words.ts';
import { dayWords } from './dates.ts';
import type { PaperMakings } from './deliveryRecord.ts';
import { drawBlank, framed } from './form.ts';
import { heading, makeDocument, stack, STYLES, textBlock, type PaperDocument } from './page.ts';
import { spoken } from './words.ts';

export interface WearerSheet {
  readonly clinic: string;
  readonly wearer: string;
  readonly side: Side;
  readonly level: Level;
  readonly suspension: Suspension;
  readonly socketNumber: string;
  readonly deliveredOn: Day;
  readonly prosthetist: string;
  readonly liner: string | null;
  /** Clicks that the lock and pin must give; null where there is no lock. */
  readonly leastClicks: number | null;
  /** The lowest rating of what is worn; null where no part states one. */
  readonly ratedBodyMassKg: number | null;
  readonly bodyMassKg: number | null;
  readonly firstRecheckOn: Day;
  readonly serviceIntervalDays: number | null;
}

/** Larger than any other paper's: it is read without the glasses. */
const PLAIN = { sizePt: 13, weight: 'regular' } as const;
const BOLD = { sizePt: 13, weight: 'bold' } as const;

export function drawWearerSheet(
  sheet: WearerSheet,
  { paper, madeAt }: PaperMakings,
): Promise<Buffer> {
  const doc = makeDocument({
    paper,
    title: `Your limb ${sheet.socketNumber}`,
    madeAt,
    footer: [sheet.clinic, sheet.socketNumber, 'Keep this sheet. Bring it when you come.'],
  });
  doc.place(textBlock(doc, sheet.clinic, STYLES.body));
  doc.place(textBlock(doc, 'Your prosthetic limb', { sizePt: 26, weight: 'bold' }));
  doc.place(
    textBlock(
      doc,
      `${sheet.wearer}. Your ${sheet.side} leg, ${spoken(sheet.level)}. You took it home on ${dayWords(sheet.deliveredOn)}. Your prosthetist is ${sheet.prosthetist}.`,
      PLAIN,
    ),
  );
  drawEmergency(doc, sheet);
  drawCall(doc);
  for (const [title, points] of partsOf(sheet)) list(doc, title, points);
  doc.yPt += 10;
  doc.place(
    framed(
      doc,
      textBlock(
        doc,
        'The maker’s instructions come first. Your prosthetist decides what is right for you: ask before you change anything.',
        BOLD,
      ),
    ),
  );
  return doc.finish();
}

function list(doc: PaperDocument, title: string, points: readonly string[]): void {
  heading(doc, title, { keepPt: 50 });
  for (const point of points) {
    const words = textBlock(doc, point, PLAIN);
    doc.place({
      heightPt: (widthPt) => words.heightPt(widthPt - 16) + 2,
      draw: (x, y, widthPt) => {
        doc.type.line('–', x + 2, y, BOLD);
        words.draw(x + 16, y, widthPt - 16);
      },
    });
  }
}

const isLock = ({ suspension }: WearerSheet): boolean => suspension === 'pin_lock';

/** What to do when it lets go, in a frame, before all else. */
function drawEmergency(doc: PaperDocument, sheet: WearerSheet): void {
  const { leastClicks } = sheet;
  const title = isLock(sheet) ? 'If the lock lets go' : 'If the limb comes loose';
  const steps = [
    'Take no further step. Hold on to something firm and sit down.',
    'Take the limb off.',
    ...(isLock(sheet)
      ? [
          'Look at the pin and into the lock. Is it dirty? Is the pin bent or loose? Is a sock in the way?',
          leastClicks === null
            ? 'Wipe it clean. Put it on again while you sit, and listen for the clicks.'
            : `Wipe it clean. Put it on again while you sit. Count the clicks: you need ${String(leastClicks)} or more.`,
          'Pull hard at the limb while you sit. It must hold.',
        ]
      : [
          'Look for dirt, a tear in the sleeve or the liner, and a sock in the wrong place.',
          'Put it on again while you sit. Pull hard at it. It must hold.',
        ]),
    'Does it let go again? Did you fall? Then do not walk on it. Use crutches or a wheelchair, and call us.',
  ];
  doc.yPt += 10;
  doc.place(
    framed(
      doc,
      stack(
        [
          textBlock(doc, title, STYLES.heading),
          ...steps.map((step, at) => textBlock(doc, `${String(at + 1)}.  ${step}`, PLAIN)),
        ],
        3,
      ),
    ),
  );
}

function partsOf(sheet: WearerSheet): [title: string, points: string[]][] {
  const { leastClicks, liner, ratedBodyMassKg, bodyMassKg, serviceIntervalDays } = sheet;
  return [
    [
      'Come back',
      [
        `By ${dayWords(sheet.firstRecheckOn)}: we check every screw${isLock(sheet) ? ' and the lock' : ''}.`,
        serviceIntervalDays === null
          ? 'After that, when your prosthetist asks you to.'
          : `After that at least every ${String(serviceIntervalDays)} days.`,
        'At once, whenever something on this sheet happens.',
      ],
    ],
    [
      'Putting it on',
      [
        'Sit down. Look at your skin first, all around and at the end.',
        ...(liner === null ? [] : [`Your liner: ${liner}. Roll it on, no air at the end.`]),
        ...(isLock(sheet)
          ? [
              'Keep the pin in line with your leg, or it will not find the lock.',
              leastClicks === null
                ? 'Stand up slowly and listen for the clicks.'
                : `Stand up slowly and count the clicks: ${String(leastClicks)} or more, each time.`,
              'Pull at the limb before you walk. It must hold.',
            ]
          : ['Stand up slowly. Pull at the limb before you walk. It must hold.']),
        'Loose in the evening? Add a sock, as your prosthetist showed you.',
      ],
    ],
    [
      'Every day',
      [
        'Wash your skin and the liner. Let both dry.',
        'Wipe the socket clean. Keep sand and water out of the lock and the foot.',
        'Turn no screw, and let nobody else turn one.',
      ],
    ],
    [
      'Stop wearing it, and call us',
      [
        'Redness that stays longer than 20 minutes, a blister, a sore, or numbness.',
        'A rattle, a crack, a click that is new, or anything that moves and did not.',
        isLock(sheet)
          ? 'Fewer clicks than before, or a button that sticks.'
          : 'A hiss of air that is new, or a hold that is weaker than before.',
        ...(ratedBodyMassKg === null
          ? []
          : [
              `Its parts carry up to ${String(ratedBodyMassKg)} kg.${bodyMassKg === null ? '' : ` You weighed ${String(bodyMassKg)} kg.`} Tell us when your weight changes by 5 kg or more, and before you carry heavy loads.`,
            ]),
      ],
    ],
  ];
}

/** The number is written by hand: the clinic's own for such calls. */
function drawCall(doc: PaperDocument): void {
  doc.place({
    heightPt: () => 44,
    draw: (x, y, widthPt) => {
      doc.type.line('Call us:', x, y + 18, BOLD);
      drawBlank(doc, x + 62, y + 34, widthPt - 62);
    },
  });
}
