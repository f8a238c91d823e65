/** The frame that all papers share. */
import { describe, expect, it } from 'vitest';
import { heading, makeDocument, textBlock, type PaperDocument } from '../../src/documents/page.ts';
import { headedTable, table, type Column } from '../../src/documents/table.ts';
import { readPdf, type ReadPdf } from '../support/pdf.ts';

const COLUMNS: readonly Column[] = [
  { title: 'Piece', share: 1 },
  { title: 'Words', share: 3 },
];

async function paperOf(fill: (doc: PaperDocument) => void): Promise<ReadPdf> {
  const doc = makeDocument({
    paper: 'A4',
    title: 'A paper',
    madeAt: new Date('2026-03-10T14:05:00Z'),
    footer: ['KB-26-00417-I', 'made on a Tuesday'],
  });
  fill(doc);
  return readPdf(await doc.finish());
}

describe('a table longer than a page', () => {
  it('repeats its head, keeps each row whole and loses none', async () => {
    const rows = Array.from({ length: 90 }, (_, at) => [
      `row${at}`,
      `begin${at} ${'words in between '.repeat(at % 20)}end${at}`,
    ]);
    const { pages } = await paperOf((doc) => {
      table(doc, COLUMNS, rows);
    });
    expect(pages.length).toBeGreaterThan(2);
    for (const page of pages) expect(page.words).toMatch(/^Piece Words /);
    for (const [at] of rows.entries()) {
      const page = pages.find(({ words }) => words.includes(`row${at} `));
      expect(page?.words, `row ${at}`).toContain(`begin${at} `);
      expect(page?.words, `row ${at}`).toMatch(new RegExp(`end${at}(?!\\d)`));
    }
  });

  it('continues a row that is higher than a page, line by line', async () => {
    const words = Array.from({ length: 3000 }, (_, at) => `w${at}`).join(' ');
    const { pages, words: all } = await paperOf((doc) => {
      table(doc, COLUMNS, [['tall', words]]);
    });
    expect(pages.length).toBeGreaterThan(1);
    for (const at of [0, 1500, 2999]) expect(all).toMatch(new RegExp(`w${at}(?!\\d)`));
    for (const page of pages) {
      for (const text of page.texts) expect(text.baselinePt).toBeLessThan(page.heightPt - 24);
    }
  });

  it('is announced on the page of its first row, never at the foot of the one before', async () => {
    for (let filler = 40; filler < 52; filler += 1) {
      const { pages } = await paperOf((doc) => {
        for (let line = 0; line < filler; line += 1) doc.place(textBlock(doc, `line ${line}`));
        headedTable(doc, 'What was found', COLUMNS, [['first row', 'words\n'.repeat(4)]]);
      });
      const page = pages.find(({ words }) => words.includes('What was found'));
      expect(page?.words, `${filler} lines before it`).toContain('first row');
    }
  });
});

describe('a page', () => {
  it('carries the footer and its own number', async () => {
    const { pages } = await paperOf((doc) => {
      heading(doc, 'First');
      doc.turnPage();
      heading(doc, 'Second');
    });
    expect(pages.map(({ words }) => words)).toEqual([
      expect.stringContaining('page 1 of 2'),
      expect.stringContaining('page 2 of 2'),
    ]);
    for (const { words } of pages) expect(words).toContain('KB-26-00417-I · made on a Tuesday');
  });
});
