/** Labels as they come off the printer: read back by programs that did not write them. */
import { describe, expect, it, test } from 'vitest';
import { drawLabel, type LabelMakings, type LabelRecord } from '../../src/documents/labels.ts';
import { LEAST_ROOM, STARTING_LABEL_SIZES } from '../../src/domain/labelSizes.ts';
import { parseScanned } from '../../src/domain/scannedCode.ts';
import { day } from '../support/limbs.ts';
import {
  decodeCodes,
  popplerText,
  readPdf,
  renderPage,
  shareOfColour,
  type Picture,
} from '../support/pdf.ts';

const PUBLIC_URL = 'https://castbook.example/clinic';
const PLACE = '01890000-0000-7000-8000-00000000abcd';
const PT_PER_MM = 72 / 25.4;

const socket = (over: Partial<Extract<LabelRecord, { kind: 'socket' }>> = {}): LabelRecord => ({
  kind: 'socket',
  number: 'KB-26-00417-I/D1',
  socketKind: 'definitive',
  side: 'left',
  chartNumber: 'A-10427',
  initials: 'M.K.',
  ...over,
});
const model: LabelRecord = {
  kind: 'model',
  orderNumber: 'KB-26-00417-I',
  castNumber: 2,
  takenOn: day('2026-03-02'),
  side: 'right',
  chartNumber: 'A-10427',
  initials: 'M.K.',
};
const bin: LabelRecord = { kind: 'bin', placeId: PLACE, name: 'Drawer 12, pins' };

const draw = (record: LabelRecord, over: Partial<LabelMakings> = {}): Promise<Buffer> =>
  drawLabel(record, {
    size: STARTING_LABEL_SIZES[record.kind],
    marginMm: STARTING_LABEL_SIZES.marginMm,
    copies: 1,
    publicUrl: PUBLIC_URL,
    madeAt: new Date('2026-03-10T14:05:00Z'),
    ...over,
  });
/** As a printer of 300 dots an inch lays it down. */
const printed = (pdf: Buffer): Promise<Picture> => renderPage(pdf, 1, 300 / 72);

describe('the code of a label', () => {
  it.each([
    ['a socket', socket(), { kind: 'socket', order: 'KB-26-00417-I', socket: 'KB-26-00417-I/D1' }],
    ['a model', model, { kind: 'order', order: 'KB-26-00417-I' }],
    ['a bin', bin, { kind: 'place', placeId: PLACE }],
  ] as const)('of %s is read by a foreign reader and names it', async (_what, record, named) => {
    const [code = '', ...others] = await decodeCodes(await printed(await draw(record)));
    expect(others).toEqual([]);
    expect(parseScanned(code)).toEqual({ ok: true, value: named });
  });

  it('is read on the smallest label too, of a printer of 203 dots an inch', async () => {
    const size = {
      widthMm: LEAST_ROOM.widthMm + 2 * STARTING_LABEL_SIZES.marginMm,
      heightMm: LEAST_ROOM.heightMm + 2 * STARTING_LABEL_SIZES.marginMm,
    };
    for (const record of [socket(), bin]) {
      const picture = await renderPage(await draw(record, { size }), 1, 203 / 72);
      expect(await decodeCodes(picture)).toHaveLength(1);
    }
  });

  it('is read with a tenth of its middle under a drop of resin', async () => {
    const picture = await printed(await draw(socket()));
    const side = Math.min(picture.height, picture.width * 0.45);
    const drop = { x: side * 0.5, y: picture.height * 0.5, r: side * 0.13 };
    for (let y = 0; y < picture.height; y += 1) {
      for (let x = 0; x < picture.width; x += 1) {
        if (Math.hypot(x - drop.x, y - drop.y) < drop.r) {
          picture.data.fill(0, 4 * (y * picture.width + x), 4 * (y * picture.width + x) + 3);
        }
      }
    }
    expect(await decodeCodes(picture)).toHaveLength(1);
  });
});

describe('what is read on a label', () => {
  test('number, kind, chart and initials, and the side in capitals; nothing else of the patient', async () => {
    const pdf = await draw(socket());
    const { pages, info } = await readPdf(pdf);
    expect(pages).toHaveLength(1);
    expect(pages[0]?.words).toBe('KB-26-00417-I /D1 definitive A-10427 · M.K. LEFT');
    expect(info['Title']).toBe('Label KB-26-00417-I/D1');
    const poppler = popplerText(pdf);
    if (poppler !== null) expect(poppler).toContain('KB-26-00417-I');
    expect((await readPdf(await draw(model))).words).toBe(
      'KB-26-00417-I Model, cast 2, Mon 2 Mar 2026 A-10427 · M.K. RIGHT',
    );
    expect((await readPdf(await draw(bin))).words).toBe('Drawer 12, pins');
  });

  test('all of it inside the margins, on a page of the stock’s size, in black alone', async () => {
    for (const record of [socket(), model, bin, socket({ chartNumber: 'A'.repeat(60) })]) {
      const pdf = await draw(record);
      const { pages } = await readPdf(pdf);
      const size = STARTING_LABEL_SIZES[record.kind];
      const [page] = pages;
      expect(page?.widthPt).toBeCloseTo(size.widthMm * PT_PER_MM, 1);
      expect(page?.heightPt).toBeCloseTo(size.heightMm * PT_PER_MM, 1);
      const marginPt = STARTING_LABEL_SIZES.marginMm * PT_PER_MM;
      for (const { text, xPt, widthPt, baselinePt, sizePt } of page?.texts ?? []) {
        expect(xPt, text).toBeGreaterThan(marginPt);
        expect(xPt + widthPt, text).toBeLessThanOrEqual((page?.widthPt ?? 0) - marginPt + 0.1);
        expect(baselinePt, text).toBeLessThanOrEqual((page?.heightPt ?? 0) - marginPt);
        expect(sizePt, text).toBeGreaterThanOrEqual(5.99);
      }
      expect(shareOfColour(await printed(pdf))).toBe(0);
    }
  });

  test('the strip of the side is black at the patient’s left or right: it is told apart without reading', async () => {
    /** Share of black in the left and in the right fifth of the strip. */
    const ends = async (record: LabelRecord): Promise<[number, number]> => {
      const { data, width, height } = await printed(await draw(record));
      const { widthMm, heightMm } = STARTING_LABEL_SIZES.socket;
      const perMm = width / widthMm;
      const codeMm = Math.min(heightMm - 4, (widthMm - 4) * 0.45);
      const from = 2 + codeMm + 1;
      const long = widthMm - 2 - from;
      const black = (fromMm: number, toMm: number): number => {
        let count = 0;
        let all = 0;
        for (let y = Math.round((heightMm - 10) * perMm); y < height - 3 * perMm; y += 1) {
          for (let x = Math.round(fromMm * perMm); x < toMm * perMm; x += 1) {
            all += 1;
            if ((data[4 * (y * width + x)] ?? 255) < 128) count += 1;
          }
        }
        return count / all;
      };
      return [black(from + 0.6, from + long * 0.18), black(from + long * 0.82, from + long - 0.6)];
    };
    const [leftOfLeft, rightOfLeft] = await ends(socket());
    expect(leftOfLeft).toBeGreaterThan(0.97);
    expect(rightOfLeft).toBeLessThan(0.6);
    const [leftOfRight, rightOfRight] = await ends(socket({ side: 'right' }));
    expect(leftOfRight).toBeLessThan(0.6);
    expect(rightOfRight).toBeGreaterThan(0.97);
  });

  test('a bin’s long name is set smaller on more lines, none of its words broken', async () => {
    const long = 'Cupboard behind the oven, third shelf from above, left';
    const { pages } = await readPdf(await draw({ ...bin, name: long }));
    expect(pages[0]?.words).toBe(long);
    expect(new Set(pages[0]?.texts.map(({ baselinePt }) => baselinePt)).size).toBeGreaterThan(1);
  });

  test('so many copies, so many pages; the same makings give the same bytes', async () => {
    const three = await draw(socket(), { copies: 3 });
    expect((await readPdf(three)).pages).toHaveLength(3);
    expect((await draw(socket(), { copies: 3 })).equals(three)).toBe(true);
  });
});
