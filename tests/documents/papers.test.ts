/** The papers of a delivery and the move slip: read back by programs that did not write them. */
import { describe, expect, it, test } from 'vitest';
import { drawDeliveryRecord, type DeliveryRecord } from '../../src/documents/deliveryRecord.ts';
import { drawMoveSlip, type MoveSlip } from '../../src/documents/moveSlip.ts';
import { PAPER_NAMES } from '../../src/documents/page.ts';
import { drawWearerSheet, type WearerSheet } from '../../src/documents/wearerSheet.ts';
import { parseScanned } from '../../src/domain/scannedCode.ts';
import { SUSPENSIONS } from '../../src/domain/words.ts';
import { day } from '../support/limbs.ts';
import { decodeCodes, popplerText, readPdf, renderPage, shareOfColour } from '../support/pdf.ts';

const madeAt = new Date('2026-03-10T14:05:00Z');
const clinic = { name: 'Clinic KB', timeZone: 'Europe/Vienna' };
const SHA256 = 'ab'.repeat(32);

const delivery: DeliveryRecord = {
  clinic,
  orderNumber: 'KB-26-00417-I',
  socketNumber: 'KB-26-00417-I/D1',
  side: 'left',
  level: 'trans_tibial',
  suspension: 'pin_lock',
  functionalLevel: 'K3',
  patient: {
    name: 'Nomen Inventum',
    chartNumber: 'A-10427',
    birthDate: day('1961-04-12'),
    address: '1 Invented Lane',
  },
  deliveredAt: '2026-03-10T13:40:00Z',
  receivedByName: 'Mater Inventi',
  receivedByRelation: 'mother',
  bodyMassKg: 82.5,
  hardware: [
    { position: 'lock', item: 'Shuttle lock serial S9-1' },
    { position: 'pyramid', item: 'Pyramid serial S14-1' },
    { position: 'distal_screws', item: 'Screw set M6, four lot L15' },
    { position: 'plate_screws', item: 'Screw set M6, four lot L15' },
  ],
  joints: [{ kind: 'distal', confirmed: true }],
  lockChecked: true,
  releaserWasSoleWorker: false,
  corrections: [],
  signature: {
    printedName: 'Paula Fitting',
    meaning: 'I release this limb and hand it over as it stands here',
    signedAt: '2026-03-10T13:40:00Z',
    contentSha256: SHA256,
  },
};

const wearer: WearerSheet = {
  clinic: 'Clinic KB',
  wearer: 'Nomen Inventum',
  side: 'left',
  level: 'trans_tibial',
  suspension: 'pin_lock',
  socketNumber: 'KB-26-00417-I/D1',
  deliveredOn: day('2026-03-10'),
  prosthetist: 'Paula Fitting',
  liner: 'cushion liner, size 28',
  leastClicks: 5,
  ratedBodyMassKg: 125,
  bodyMassKg: 82.5,
  firstRecheckOn: day('2026-03-24'),
  serviceIntervalDays: 180,
};

const slip: MoveSlip = {
  clinic,
  orderNumber: 'KB-26-00417-I',
  socketNumber: 'KB-26-00417-I/D1',
  side: 'left',
  chartNumber: 'A-10427',
  initials: 'N.I.',
  moves: [
    {
      what: 'Shuttle lock serial S9-1',
      from: 'KB-26-00417-I/C1 lock',
      to: 'KB-26-00417-I/D1 lock',
      reason: 'transferred',
      at: '2026-03-09T08:15:00Z',
      by: 'Tamás Bench',
      last: true,
    },
    {
      what: 'Dummy 1',
      from: 'KB-26-00417-I/D1 dummy',
      to: 'Drawer 1',
      reason: 'pulled_after_cure',
      at: '2026-03-08T16:00:00Z',
      by: 'Tamás Bench',
      last: false,
    },
  ],
  open: [
    {
      words: 'Joint distal of KB-26-00417-I/D1: never torqued on this socket.',
      wayOut: 'Torque every fastener of the joint in order and record the readings.',
    },
  ],
};

describe.each(PAPER_NAMES)('on %s', (paper) => {
  test('the delivery record has every element of a proof of delivery', async () => {
    const pdf = await drawDeliveryRecord(delivery, { paper, madeAt });
    const { words, pages } = await readPdf(pdf);
    expect(pages).toHaveLength(1);
    for (const each of [
      // Who.
      'Nomen Inventum',
      'A-10427',
      '1 Invented Lane',
      'Mater Inventi',
      'mother',
      // What, and how many: one lot in two places is counted together.
      '1 Prosthetic socket KB-26-00417-I/D1, LEFT, trans-tibial, pin lock',
      '1 Shuttle lock serial S9-1 lock',
      '2 Screw set M6, four lot L15 distal screws, plate screws',
      // When, in the clinic's zone.
      'Tue 10 Mar 2026 14:40 (Europe/Vienna)',
      // The signature: printed name, meaning, time, what it is bound to.
      'Paula Fitting',
      'I release this limb and hand it over as it stands here.',
      SHA256,
      'Signature of who received it',
      'Joint distal: torque confirmed.',
      'Lock check: passed on this lock and pin.',
    ]) {
      expect(words).toContain(each);
    }
    const poppler = popplerText(pdf);
    if (poppler !== null) expect(poppler).toContain('Shuttle lock serial S9-1');
    expect(shareOfColour(await renderPage(pdf, 1))).toBe(0);
  });

  test('the wearer’s sheet says what to do if the lock lets go, and when to come back', async () => {
    const { words, pages } = await readPdf(await drawWearerSheet(wearer, { paper, madeAt }));
    expect(pages.length).toBeLessThanOrEqual(2);
    for (const each of [
      'If the lock lets go 1. Take no further step.',
      'you need 5 or more',
      'Your left leg, trans-tibial',
      'By Tue 24 Mar 2026: we check every screw and the lock.',
      'at least every 180 days',
      'carry up to 125 kg. You weighed 82.5 kg.',
      'The maker’s instructions come first.',
    ]) {
      expect(words).toContain(each);
    }
    // Before everything else, on the first page.
    expect(pages[0]?.words.indexOf('If the lock lets go')).toBeLessThan(
      pages[0]?.words.indexOf('Putting it on') ?? 0,
    );
  });

  test('the move slip tells each way in and out, what is to be done since, and opens the socket', async () => {
    const publicUrl = 'https://castbook.example/clinic';
    const pdf = await drawMoveSlip(slip, { paper, madeAt, publicUrl });
    const { words } = await readPdf(pdf);
    for (const each of [
      'KB-26-00417-I/D1',
      'LEFT · Chart A-10427 · N.I.',
      'Mon 9 Mar 2026 09:15, Tamás Bench, transferred',
      'Drawer 1 (gone on since)',
      'never torqued on this socket.',
      'Torque every fastener of the joint in order',
    ]) {
      expect(words).toContain(each);
    }
    const [code = ''] = await decodeCodes(await renderPage(pdf, 1, 2));
    expect(parseScanned(code)).toMatchObject({
      value: { kind: 'socket', socket: 'KB-26-00417-I/D1' },
    });
  });
});

describe('the wearer’s sheet', () => {
  it.each(SUSPENSIONS)('speaks of a lock only where there is one: %s', async (suspension) => {
    const leastClicks = suspension === 'pin_lock' ? 5 : null;
    const { words } = await readPdf(
      await drawWearerSheet({ ...wearer, suspension, leastClicks }, { paper: 'A4', madeAt }),
    );
    expect(words.includes('clicks')).toBe(suspension === 'pin_lock');
    expect(words.includes('If the limb comes loose')).toBe(suspension !== 'pin_lock');
  });

  it('leaves out what is not on record', async () => {
    const bare = {
      ...wearer,
      liner: null,
      leastClicks: null,
      ratedBodyMassKg: null,
      bodyMassKg: null,
      serviceIntervalDays: null,
    };
    const { words } = await readPdf(await drawWearerSheet(bare, { paper: 'A4', madeAt }));
    expect(words).toContain('listen for the clicks');
    expect(words).toContain('After that, when your prosthetist asks you to.');
    expect(words).not.toMatch(/null|NaN|undefined|carry up to|Your liner/);
    const rated = { ...bare, ratedBodyMassKg: 125 };
    expect((await readPdf(await drawWearerSheet(rated, { paper: 'A4', madeAt }))).words).toContain(
      'carry up to 125 kg. Tell us',
    );
  });

  it('is in plain words: short sentences, none past 24 words with the heading before it', async () => {
    // Guides to plain language ask for 15 to 20 words at most (common advice, from memory).
    const { words } = await readPdf(await drawWearerSheet(wearer, { paper: 'A4', madeAt }));
    const sentences = words
      .split(/[.?!:](?:\s|$)/)
      .map((sentence) => sentence.split(/\s+/).filter((word) => /\p{L}/u.test(word)).length)
      .filter((count) => count > 0);
    expect(sentences.length).toBeGreaterThan(40);
    expect(sentences.filter((count) => count > 24)).toEqual([]);
    expect(sentences.reduce((sum, count) => sum + count, 0) / sentences.length).toBeLessThan(10);
  });
});

describe('the delivery record', () => {
  it('says what is not on record, and who did the work alone', async () => {
    const { words } = await readPdf(
      await drawDeliveryRecord(
        {
          ...delivery,
          patient: { ...delivery.patient, address: null },
          bodyMassKg: null,
          joints: [{ kind: 'distal', confirmed: false }],
          lockChecked: false,
          releaserWasSoleWorker: true,
        },
        { paper: 'A4', madeAt },
      ),
    );
    expect(words).toContain('Address on record none');
    expect(words).toContain('not on record');
    expect(words).toContain('torque not confirmed');
    expect(words).toContain('Lock check: none.');
    expect(words).toContain('did all the bench work alone');
  });

  it('says what was corrected since, beside what was signed and stands', async () => {
    const corrected = {
      of: 'torque_confirmation' as const,
      correctedAt: '2026-03-11T08:00:00Z',
      correctedBy: 'Tom Bench',
      wrong: '5 N·m',
      right: '8 N·m',
      why: 'Misread.',
      unseen: null,
    };
    const { words } = await readPdf(
      await drawDeliveryRecord({ ...delivery, corrections: [corrected] }, { paper: 'A4', madeAt }),
    );
    expect(words).toContain('Corrected in words');
    expect(words).toContain('Torque confirmation');
    expect(words).toContain(
      'Corrected on Wed 11 Mar 2026 09:00 by Tom Bench: “8 N·m” stands for “5 N·m” (Misread.).',
    );
    const without = await readPdf(await drawDeliveryRecord(delivery, { paper: 'A4', madeAt }));
    expect(without.words).not.toContain('Corrected');
  });

  it('with forty pieces goes on over the page, the signatures whole on one', async () => {
    const hardware = Array.from({ length: 40 }, (_none, at) => ({
      position: 'lock' as const,
      item: `Piece ${String(at)} serial X-${String(at)}`,
    }));
    const { pages } = await readPdf(
      await drawDeliveryRecord({ ...delivery, hardware }, { paper: 'A4', madeAt }),
    );
    expect(pages.length).toBeGreaterThan(1);
    const last = pages.at(-1)?.words ?? '';
    expect(last).toContain('Released and signed electronically');
    expect(last).toContain('Signature of who received it');
  });

  it('of a suction socket has no word of a lock', async () => {
    const { words } = await readPdf(
      await drawDeliveryRecord({ ...delivery, suspension: 'suction' }, { paper: 'A4', madeAt }),
    );
    expect(words).not.toContain('Lock check');
  });
});

test('a slip without anything open says so', async () => {
  const closed = { ...slip, open: [], moves: slip.moves.map((m) => ({ ...m, from: null })) };
  const { words } = await readPdf(
    await drawMoveSlip(closed, { paper: 'A4', madeAt, publicUrl: 'https://castbook.example' }),
  );
  expect(words).toContain('Nothing: joints and lock stand as they were checked.');
  expect(words).toContain('outside');
});
