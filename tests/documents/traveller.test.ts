/** The traveller as it lies on the bench: read back by programs that did not write it. */
import { beforeAll, describe, expect, it } from 'vitest';
import { drawTraveller } from '../../src/documents/traveller/draw.ts';
import type { SocketWork, TravellerRecord } from '../../src/documents/traveller/record.ts';
import { PAPER_NAMES, PAPERS, type Paper } from '../../src/documents/page.ts';
import { workOutLayup } from '../../src/domain/layup.ts';
import { orderLink, parseOrderLink } from '../../src/domain/orderLink.ts';
import { basisOn } from '../support/layups.ts';
import {
  decodeCodes,
  lineWeights,
  popplerText,
  readPdf,
  renderPage,
  shareOfColour,
  type Picture,
  type ReadPdf,
} from '../support/pdf.ts';
import {
  definitiveWork,
  distalJoint,
  inTheMiddle,
  justOpened,
  plateJoint,
  veryLong,
} from '../support/travellerSamples.ts';

const MADE_AT = new Date('2026-03-10T14:05:00Z');
const PUBLIC_URL = 'https://castbook.example/clinic';

const draw = (
  record: TravellerRecord,
  { paper = 'A4', madeAt = MADE_AT }: { paper?: Paper; madeAt?: Date } = {},
): Promise<Buffer> => drawTraveller(record, { paper, madeAt, publicUrl: PUBLIC_URL });

/** The record in the middle of the work, with the definitive socket as it says. */
const withWork = (work: Partial<SocketWork>): TravellerRecord => ({
  ...inTheMiddle,
  works: [{ ...definitiveWork, ...work }],
});

describe.each(PAPER_NAMES)('a traveller on %s', (paper) => {
  let pdf: Buffer;
  let read: ReadPdf;
  beforeAll(async () => {
    pdf = await draw(inTheMiddle, { paper });
    read = await readPdf(pdf);
  });

  it('has that size on every page', () => {
    for (const page of read.pages) {
      expect(page.widthPt).toBeCloseTo(PAPERS[paper].widthPt, 1);
      expect(page.heightPt).toBeCloseTo(PAPERS[paper].heightPt, 1);
    }
  });

  it('carries a code that a foreign reader decodes, and that opens this order', async () => {
    const codes = await decodeCodes(await renderPage(pdf, 1, 2));
    expect(codes).toEqual([orderLink(PUBLIC_URL, inTheMiddle.order.number)]);
    expect(parseOrderLink(codes[0] ?? '')).toEqual({ ok: true, value: inTheMiddle.order.number });
  });

  it('says order, side and chart on every sheet, and which sheet it is of how many', () => {
    for (const [at, page] of read.pages.entries()) {
      expect(page.words).toContain('KB-26-00417-I');
      expect(page.words).toContain('LEFT');
      expect(page.words).toContain('the patient’s left');
      expect(page.words).toContain('Chart A-10427 · M.K.');
      expect(page.words).toContain(`page ${at + 1} of ${read.pages.length}`);
      expect(page.words).toContain('made Tue 10 Mar 2026 15:05 (Europe/Vienna)');
      expect(page.words).toContain('a view of the record at that moment');
    }
  });

  it('keeps every word on the sheet and above the footer', () => {
    for (const page of read.pages) {
      for (const { text, xPt, widthPt, baselinePt, sizePt } of page.texts) {
        expect(xPt, text).toBeGreaterThanOrEqual(36);
        expect(xPt + widthPt, text).toBeLessThanOrEqual(page.widthPt - 36);
        expect(baselinePt, text).toBeLessThan(page.heightPt - 24);
        if (sizePt >= 10.5) expect(baselinePt, text).toBeLessThan(page.heightPt - 62);
      }
    }
  });

  it('is set in type that is read at arm’s length; only the footer is smaller', () => {
    for (const page of read.pages) {
      for (const { text, sizePt, baselinePt } of page.texts) {
        if (baselinePt < page.heightPt - 62) expect(sizePt, text).toBeGreaterThanOrEqual(10.5);
      }
    }
    const sizeOf = (text: string) =>
      read.pages[0]?.texts.find((each) => each.text === text)?.sizePt ?? 0;
    expect(sizeOf('LEFT')).toBeGreaterThanOrEqual(40);
    expect(sizeOf('KB-26-00417-I')).toBeGreaterThanOrEqual(24);
    expect(sizeOf('Tue 17 Mar 2026')).toBeGreaterThanOrEqual(18);
  });

  it('draws no line that dust would hide, and needs no colour', async () => {
    for (const [at] of read.pages.entries()) {
      const weights = await lineWeights(pdf, at + 1);
      expect(weights.length).toBeGreaterThan(0);
      expect(weights[0]).toBeGreaterThanOrEqual(0.8 - 1e-6);
      expect(shareOfColour(await renderPage(pdf, at + 1, 0.5))).toBe(0);
    }
  });
});

describe('what a traveller says', () => {
  let pdf: Buffer;
  let read: ReadPdf;
  beforeAll(async () => {
    pdf = await draw(inTheMiddle);
    read = await readPdf(pdf);
  });

  it.each([
    ['the promised day with its weekday', 'Promised for Tue 17 Mar 2026'],
    ['level, suspension and activity', 'Trans-tibial Pin lock Functional level K3'],
    ['the body mass with its day', 'Body mass, Mon 2 Mar 2026 82.4 kg'],
    ['the liner', 'Silicone liner with pin, size 26'],
    ['the stage', 'Stage Delivery'],
    ['the cast', 'Cast 2 Plaster, taken Fri 27 Feb 2026, accepted'],
    ['the scale of the drawing', '1 : 2, bar 50 mm'],
    ['every socket', 'KB-26-00417-I/C1 check rejected cast 1, sheet 12 mm'],
    ['what it replaces', 'replaces KB-26-00417-I/C1'],
    ['an open finding', 'The button rattles in its channel when the socket is shaken.'],
    ['a serial and where the lock comes from', 'serial L0O1I7-0042 socket: KB-26-00417-I/C2'],
    ['what is single use', 'SINGLE USE: never into a second socket lot DS-0903 bin: Drawer 3'],
    ['what is still to be put in', 'Pin to be put in'],
    ['the setting in both units', '12 to 15 N·m 106.3 to 132.7 lbf·in'],
    ['the screws', '4 × M6, class 12.9'],
    ['the threadlocker', 'Threadlocker: REQUIRED'],
    ['document and revision', 'IFU-2209 Pyramid, revision C'],
    ['the order of tightening', '1st: screw 1 2nd: screw 3 3rd: screw 2 4th: screw 4'],
    ['why a joint is open', 'OPEN: a part of it moved after the last torque confirmation.'],
    ['who confirmed a joint', 'by Jonas Petrescu, tool TD-2, threadlocker lot TL-0771'],
    ['the least clicks', 'At least 4 clicks'],
    ['the accepted alignment', 'Offset outwards (inwards −) −4 mm ± 3 mm'],
    ['where the layup comes from', "By the clinic's rules, row “Nearly everybody”. For 82.4 kg."],
    ['who approved it', 'Approved by Dr Mara Hollweg, Tue 10 Mar 2026 07:15.'],
    ['a layer', '4 Carbon braid 150 mm 2 layers, bias, reflected; 1.00 mm'],
    ['a cut', 'Carbon braid 150 mm, to be turned back: two layers 150 mm flat 600 mm 1 × 63 g'],
    ['what the shell will be', 'wall 1.3 mm, along a strip 1.8 mm, distal end 2.2 mm'],
    ['the ratio of the resin', '100 : 38 by mass, never by volume'],
    ['the fabric that the resin is for', 'For 100 g of fabric, layup 1. Bench epoxy'],
    ['what one cup holds at most', 'no more than 100 g in one, and none is left standing mixed'],
    [
      'that a fuller cup sets sooner',
      'The pot life was measured with 60 g; a fuller cup sets sooner than the clock says.',
    ],
    ['how long it can be worked', 'Work time at 25 °C about 20 min from mixing.'],
    ['who decides', 'the licensed prosthetist decides'],
  ])('%s', (_what, words) => {
    expect(read.words).toContain(words);
  });

  it('says the same to poppler', ({ skip }) => {
    const words = popplerText(pdf);
    if (words === null) return skip('pdftotext is not installed');
    for (const each of [
      'KB-26-00417-I',
      'LEFT',
      'the patient’s left leg',
      'L0O1I7-0042',
      '12 to 15 N·m',
      'Is the lock chamber free of resin and dust?',
      'At least 4 clicks',
    ]) {
      expect(words).toContain(each);
    }
  });

  it('fills in what is done with answers, person and time, and leaves room for the rest', () => {
    const from = read.words.indexOf('8. Pull the dummy');
    const next = read.words.indexOf('9. Break out the model');
    const after = read.words.indexOf('10. Inspect the lock chamber');
    expect(from).toBeGreaterThan(0);
    const done = read.words.slice(from, next);
    expect(done).toContain('Did the dummy come out whole? yes');
    expect(done).toContain('Jonas Petrescu Tue 10 Mar 2026 14:15');
    expect(done).not.toContain('Caution');
    const waiting = read.words.slice(next, after);
    expect(waiting).toContain('Caution: Dust');
    expect(waiting).toMatch(/yes no.*initials time/);
  });

  it('prints the limits of a measured value', async () => {
    const operations = definitiveWork.operations.map((operation) => ({
      ...operation,
      state: 'waiting' as const,
      last: null,
    }));
    const { words } = await readPdf(await draw(withWork({ operations })));
    expect(words).toContain('Vacuum below the room’s pressure (50 to 98 kPa)');
  });

  it('says what is to be weighed in each cup, what was, and leaves lines for the rest', () => {
    const [first, second] = definitiveWork.resin?.cups ?? [];
    if (first === undefined || second === undefined) throw new Error('two cups');
    const { resinG, hardenerG, pigmentG } = first.weigh;
    expect(read.words).toContain(`Cup 1 to weigh ${resinG} g ${hardenerG} g ${pigmentG} g`);
    expect(read.words).toContain(`weighed ${resinG} g ${hardenerG} g ${pigmentG} g`);
    expect(read.words).toMatch(/Cup 2 to weigh .* scale g g g :/);
    expect(read.words).toContain('2 cups: mix one, pour it, then mix the next.');
  });

  it('warns of a recipe whose layup no longer stands, and leaves nothing to weigh by it', async () => {
    const { resin } = definitiveWork;
    const [first, second] = resin?.cups ?? [];
    if (resin === null || first === undefined || second === undefined) throw new Error('two cups');
    const stale = { ...resin, forLayup: { running: 1, stands: false } };
    const { words } = await readPdf(await draw(withWork({ resin: stale })));
    expect(words).toContain('For layup 1, which no longer stands: weigh nothing by it.');
    expect(words).not.toContain('Resin to weigh');
    // What is in the first cup is still said; the second has no line to write on.
    expect(words).toContain(`Cup 1 weighed ${first.weigh.resinG} g`);
    expect(words).not.toMatch(/Cup 2|to weigh/);
    const empty = { ...stale, cups: [second] };
    const none = await readPdf(await draw(withWork({ resin: empty })));
    expect(none.words).toContain('weigh nothing by it.');
    expect(none.words).not.toMatch(/Cup|to weigh/);
  });

  it('names what stopped a cup', async () => {
    const { resin } = definitiveWork;
    const [cup] = resin?.cups ?? [];
    if (resin === null || cup?.weighed == null) throw new Error('a weighed cup');
    const stops = ['30 g of hardener to 100 g of resin is 21 % short.'];
    const cups = [{ ...cup, weighed: { ...cup.weighed, stops } }];
    const { words } = await readPdf(await draw(withWork({ resin: { ...resin, cups } })));
    expect(words).toContain('stopped');
    expect(words).toContain('21 % short');
  });

  it('warns while nobody has signed the layup, and says where none is drafted', async () => {
    const { layup } = definitiveWork;
    if (layup === null) throw new Error('a layup');
    const drafted = { ...layup, approved: null, ruleRow: null, why: 'Long limb, light patient.' };
    const { words } = await readPdf(await draw(withWork({ layup: drafted })));
    expect(words).toContain('Not approved by signature yet: nothing is cut by it.');
    expect(words).toContain('Written by Jonas Petrescu: Long limb, light patient.');
    const none = await readPdf(await draw(withWork({ layup: null, resin: null })));
    expect(none.words).toContain('No layup has been drafted yet.');
    expect(none.words).not.toContain('Resin to weigh');
    const check = await readPdf(await draw(withWork({ kind: 'check', layup: null, resin: null })));
    expect(check.words).not.toContain('Layup');
  });

  it('shows a stopped operation as stopped and one left out as left out', async () => {
    const [first, second] = definitiveWork.operations;
    if (first === undefined || second === undefined) throw new Error('the route is too short');
    const { words } = await readPdf(
      await draw(
        withWork({
          operations: [
            { ...first, state: 'stopped' },
            { ...second, state: 'left_out' },
          ],
        }),
      ),
    );
    expect(words).toContain('1. Prepare the model STOPPED: see the open finding');
    expect(words).toContain('2. Dry and seal the model Left out by a prosthetist.');
  });

  it('frames a hold and a body mass over a rating', async () => {
    const warning = 'Pyramid, light is rated for 60 kg; the patient weighs 82.4 kg.';
    const { words } = await readPdf(await draw({ ...justOpened, massWarnings: [warning] }));
    expect(words).toContain('ON HOLD: authorization awaited, since Tue 17 Feb 2026');
    expect(words).toContain(`Caution: ${warning}`);
    expect(words).toContain('no day promised');
    expect(words).toContain('No cast has been taken yet.');
  });

  it('asks for the setting where a joint has none on record', async () => {
    const joints = [{ ...distalJoint, setting: null, settingFrom: null }];
    const { words } = await readPdf(await draw(withWork({ joints })));
    expect(words).toContain('No torque setting is on record for these parts');
  });

  it('names itself, its language and its moment in its metadata, and nobody', () => {
    expect(read.info).toMatchObject({
      Title: 'Traveller KB-26-00417-I',
      Creator: 'Castbook',
      CreationDate: 'D:20260310140500Z',
    });
    expect(read.language).toBe('en');
    expect(read.info['Author']).toBeUndefined();
  });
});

describe('the side', () => {
  /** How dark the picture is within a band under "seen from the front", left and right of its middle. */
  function darkness({ data, width }: Picture, read: ReadPdf): { left: number; right: number } {
    const label = read.pages[0]?.texts.find((each) => each.text === 'seen from the front');
    if (label === undefined) throw new Error('there is no drawing');
    const middle = label.xPt + label.widthPt / 2;
    const sum = (fromPt: number, toPt: number): number => {
      let dark = 0;
      for (let y = label.baselinePt + 10; y < label.baselinePt + 90; y += 0.5) {
        for (let x = fromPt; x < toPt; x += 0.5) {
          const at = 4 * (Math.round(y * 2) * width + Math.round(x * 2));
          if ((data[at] ?? 255) < 128) dark += 1;
        }
      }
      return dark;
    };
    return { left: sum(middle - 26, middle - 2), right: sum(middle + 2, middle + 26) };
  }

  it.each([
    ['left', 'right', 'LEFT', 'RIGHT'],
    ['right', 'left', 'RIGHT', 'LEFT'],
  ] as const)(
    'a %s limb is black on the %s of the drawing, and said in words',
    async (side, drawnOn, word, other) => {
      const pdf = await draw({ ...inTheMiddle, order: { ...inTheMiddle.order, side } });
      const read = await readPdf(pdf);
      expect(read.pages[0]?.words).toContain(`${word} the patient’s ${side} leg`);
      expect(read.words).not.toContain(other);
      const { left, right } = darkness(await renderPage(pdf, 1, 2), read);
      const [affected, sound] = drawnOn === 'left' ? [left, right] : [right, left];
      expect(affected).toBeGreaterThan(3 * sound);
      expect(sound).toBeGreaterThan(0);
    },
  );
});

describe('a sheet and its record', () => {
  const hashOf = ({ words }: ReadPdf): string => /SHA-256 ([0-9a-f]{12}) /.exec(words)?.[1] ?? '';

  it('is the same to the byte for the same record and moment', async () => {
    expect(Buffer.compare(await draw(inTheMiddle), await draw(inTheMiddle))).toBe(0);
  });

  it('has a hash that follows the record, not the moment of printing', async () => {
    const first = hashOf(await readPdf(await draw(inTheMiddle)));
    const later = new Date('2026-03-11T08:00:00Z');
    expect(first).toMatch(/^[0-9a-f]{12}$/);
    expect(hashOf(await readPdf(await draw(inTheMiddle, { madeAt: later })))).toBe(first);
    const changed = { ...inTheMiddle, patient: { ...inTheMiddle.patient, bodyMass: null } };
    expect(hashOf(await readPdf(await draw(changed)))).not.toBe(first);
  });
});

describe('a record that was corrected', () => {
  const corrected = (mark: string, words = mark) => [
    {
      at: '2026-03-09T13:00:00Z',
      by: 'Pia Fitting',
      wrong: `wrong ${mark}`,
      right: `right ${words}`,
      why: 'Misread.',
      doneAgain: 'do it again',
    },
  ];
  const sentence = (mark: string): string =>
    `Corrected on Mon 9 Mar 2026 14:00 by Pia Fitting: “right ${mark}” stands for “wrong ${mark}” (Misread.). ` +
    'It changes no evidence: do it again for it to count.';
  const at = { by: 'Pia Fitting', at: '2026-03-08T10:00:00Z' };
  const values = {
    flexionDeg: 5,
    adductionDeg: 2,
    anteriorOffsetMm: 4,
    lateralOffsetMm: 1,
    toeOutDeg: 5,
    heightToFloorMm: 400,
  };

  /** Everything that can be corrected on the sheet, with a mark in its words. */
  const everywhere = (words?: string): TravellerRecord => {
    const { layup, resin, operations } = definitiveWork;
    if (layup === null || resin === null) throw new Error('a layup and its resin');
    const { bodyMass } = inTheMiddle.patient;
    const { cast } = inTheMiddle;
    if (bodyMass === null || cast === null) throw new Error('a mass and a cast');
    const done = operations.findIndex(({ last }) => last !== null);
    return {
      ...inTheMiddle,
      patient: {
        ...inTheMiddle.patient,
        bodyMass: { ...bodyMass, corrected: corrected('mass', words) },
      },
      cast: { ...cast, corrected: corrected('cast', words) },
      openFindings: inTheMiddle.openFindings.map((finding) => ({
        ...finding,
        corrected: corrected('finding', words),
      })),
      works: [
        {
          ...definitiveWork,
          layup: { ...layup, corrected: corrected('layup', words) },
          resin: {
            ...resin,
            cups: resin.cups.map((cup) => ({
              ...cup,
              weighed: {
                ...cup.weigh,
                mixedAt: at.at,
                by: at.by,
                stops: [],
                corrected: corrected(`cup ${cup.pour}`, words),
              },
            })),
          },
          operations: operations.map((operation, n) =>
            n === done && operation.last !== null
              ? {
                  ...operation,
                  last: { ...operation.last, corrected: corrected('operation', words) },
                }
              : operation,
          ),
          joints: [
            {
              ...plateJoint,
              confirmation: plateJoint.confirmation && {
                ...plateJoint.confirmation,
                corrected: corrected('joint', words),
              },
            },
          ],
          lockCheck: {
            leastClicks: 3,
            openBecause: null,
            passed: { ...at, clicks: [4, 4, 4], corrected: corrected('lock', words) },
          },
          alignment: {
            tolerance: { angleDeg: 1, lengthMm: 3 },
            accepted: {
              ...at,
              socket: 'KB-26-00417-I/C1',
              values,
              corrected: corrected('accepted', words),
            },
            measured: { ...at, values, corrected: corrected('measured', words) },
          },
        },
      ],
    };
  };

  it('says so right where it is read, and what is done again', async () => {
    const { words } = await readPdf(await draw(everywhere()));
    for (const mark of [
      'mass',
      'cast',
      'finding',
      'layup',
      'cup 1',
      'operation',
      'joint',
      'lock',
      'accepted',
      'measured',
    ]) {
      expect(words, mark).toContain(sentence(mark));
    }
    expect((await readPdf(await draw(inTheMiddle))).words).not.toContain('Corrected');
  });

  it('keeps the longest words above the foot of the page', async () => {
    const read = await readPdf(await draw(everywhere('as it should be '.repeat(125))));
    for (const page of read.pages) {
      for (const { text, baselinePt, sizePt } of page.texts) {
        if (sizePt >= 10.5) expect(baselinePt, text).toBeLessThan(page.heightPt - 62);
      }
    }
  });
});

describe.each(PAPER_NAMES)('a long order on %s', (paper) => {
  let read: ReadPdf;
  beforeAll(async () => {
    read = await readPdf(await draw(veryLong, { paper }));
  });

  it('loses none of its forty operations and twelve pieces, and cuts none', () => {
    const [work] = veryLong.works;
    if (work === undefined) throw new Error('there is no work');
    expect(read.pages.length).toBeGreaterThan(6);
    for (const operation of work.operations) {
      const page = read.pages.find(({ words }) => words.includes(`${operation.title} `));
      expect(page, operation.title).toBeDefined();
      for (const check of operation.checks) {
        expect(page?.words, operation.title).toContain(check.ask);
      }
    }
    for (const item of work.hardware) {
      const page = read.pages.find(({ words }) => words.includes(item.part));
      expect(page?.words).toContain(`serial ${item.serial ?? ''}`);
    }
  });

  it('repeats the head of the operations on each of their pages', () => {
    const pages = read.pages.filter(({ words }) => words.includes('of forty:'));
    expect(pages.length).toBeGreaterThan(3);
    for (const { words } of pages) expect(words).toContain('Operation, checks and answers');
  });
});

describe.each(PAPER_NAMES)('a layup of many lines on %s', (paper) => {
  it.each([16, 20, 40])(
    '%i of them: all on the paper, in type that can be read, and the rest of each in a table',
    async (count) => {
      const { layup } = definitiveWork;
      if (layup === null) throw new Error('a layup');
      const lines = Array.from({ length: count }, (_, at) => layup.lines[at % layup.lines.length]!);
      const verdict = workOutLayup(lines, basisOn());
      if (!verdict.ok) throw new Error('it cannot be worked out');
      const long = { ...layup, lines, figures: verdict.value };
      const read = await readPdf(await draw(withWork({ layup: long }), { paper }));
      const page = read.pages.find(({ words }) => words.includes('Layup 1 of KB-26-00417-I/D1'));
      // Numbers of the legend, the outermost on top; those of tables stand further left.
      const legend = page!.texts
        .filter(({ text, xPt }) => /^\d+$/.test(text) && xPt > 300)
        .toSorted((a, b) => b.baselinePt - a.baselinePt);
      expect(legend.map(({ text }) => Number(text))).toEqual(lines.map((_line, at) => at + 1));
      for (const [at, { baselinePt, sizePt }] of legend.entries()) {
        expect(sizePt).toBe(11);
        expect(baselinePt).toBeLessThan(page!.heightPt - 62);
        if (at > 0) expect(legend[at - 1]!.baselinePt - baselinePt).toBeGreaterThan(12);
        const beside = page!.texts.filter((each) => each.baselinePt === baselinePt);
        expect(beside.map(({ text }) => text)).toContain(long.figures.section[at]!.what);
      }
      expect(page!.words).toContain('widths and plate are not to scale');
      expect(read.words).toContain('4 Carbon braid 150 mm 2 layers, bias, reflected; 1.00 mm');
      for (const { texts, heightPt } of read.pages) {
        for (const { text, sizePt, baselinePt } of texts) {
          expect(baselinePt, text).toBeLessThan(heightPt - 24);
          if (baselinePt < heightPt - 62) expect(sizePt, text).toBeGreaterThanOrEqual(10.5);
        }
      }
    },
  );
});

describe('odd text from the record', () => {
  it('prints other scripts, and writes out by its code what no typeface here has', async () => {
    const [lock] = definitiveWork.hardware;
    if (lock === undefined) throw new Error('there is no hardware');
    const part = 'Ωμέγα-Жук Łódź 中文 \u202Eabc \u0007 👩‍🔧 e\u0301 ﷽';
    const { words } = await readPdf(await draw(withWork({ hardware: [{ ...lock, part }] })));
    expect(words).toContain('Ωμέγα-Жук Łódź');
    expect(words).toContain('[U+4E2D][U+6587]');
    expect(words).toContain('[U+202E]abc');
    expect(words).toContain('[U+0007]');
    expect(words).toContain('é');
  });

  it('wraps a part’s name of any length inside its column', async () => {
    const [lock] = definitiveWork.hardware;
    if (lock === undefined) throw new Error('there is no hardware');
    const part = `${'Verylongword'.repeat(12)} and ${'many short words '.repeat(12)}`.trim();
    const read = await readPdf(await draw(withWork({ hardware: [{ ...lock, part }] })));
    expect(read.words.replaceAll(' ', '')).toContain(part.replaceAll(' ', ''));
    const cell = read.pages.flatMap((page) =>
      page.texts.filter((t) => /longword|short/.test(t.text)),
    );
    expect(cell.length).toBeGreaterThan(8);
    const left = Math.min(...cell.map((each) => each.xPt));
    for (const each of cell) {
      expect(each.xPt).toBeCloseTo(left, 3);
      expect(each.xPt + each.widthPt).toBeLessThan(left + 200);
    }
  });

  it('puts a long note under its question and an operation with very many checks on several pages', async () => {
    const [first] = definitiveWork.operations;
    if (first === undefined) throw new Error('there is no operation');
    const checks = Array.from({ length: 20 }, (_, at) => ({
      kind: 'note' as const,
      key: `n${at}`,
      ask: `What was seen at place ${at + 1}?`,
    }));
    const answers = Object.fromEntries(
      checks.map(({ key }, at) => [
        key,
        `Seen ${at + 1}: ${'smooth and even all around, '.repeat(12)}end ${at + 1}.`,
      ]),
    );
    const last = {
      outcome: 'done' as const,
      by: 'Jonas Petrescu',
      at: MADE_AT.toISOString(),
      answers,
    };
    const { words, pages } = await readPdf(
      await draw(withWork({ operations: [{ ...first, checks, last, state: 'done' }] })),
    );
    for (const [at] of checks.entries()) expect(words).toContain(`end ${at + 1}.`);
    expect(words).toContain('1. Prepare the model (continued)');
    for (const page of pages) {
      for (const text of page.texts) expect(text.baselinePt).toBeLessThan(page.heightPt - 24);
    }
  });
});
