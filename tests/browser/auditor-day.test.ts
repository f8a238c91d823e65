/**
 * An auditor's whole day, as one story in real Chromium: the way of a lock, a patient, a
 * person, an order's history, the record verified and then tampered with, a recall drill
 * with its calls, and the files read back.
 */
import { createHash } from 'node:crypto';
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { canonicalJson } from '../../src/domain/canonical.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openPage,
  signInAs,
} from '../support/browser.ts';
import {
  acceptedCast,
  deliveredLimb,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  openedOrder,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';
import { readCsv } from '../support/readCsv.ts';

const LOT = 'P-RECALLED';
const PHONE = '+43 1 0000 001';
const PICTURES = path.resolve(import.meta.dirname, '../output/browser');

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let shop: Shop;
    let limb: MadeLimb;
    let serial: string;
    let wornOut: string;
    let page: Page;
    let complaints: string[];

    const inTwoMonths = (): string =>
      new Date(clinic.clock.now().getTime() + 60 * 86_400_000).toISOString().slice(0, 10);
    const look = async (name: string): Promise<void> => {
      await lookAt(page, `auditor-${name}-desk`);
      await lookAtOnPhone(page, `auditor-${name}-phone`);
    };
    const type = (text: string): Promise<void> =>
      page.getByRole('searchbox', { name: 'What you know' }).fill(text);
    const ask = async (text: string): Promise<void> => {
      await type(text);
      await page.getByRole('button', { name: 'Look it up' }).click();
    };
    const saved = async (button: string): Promise<Buffer> => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: button }).click(),
      ]);
      return fs.readFileSync(await file.path());
    };
    /** What the printer would get, as a picture to look at. */
    const onPaper = async (name: string): Promise<void> => {
      const pdf = path.join(PICTURES, `auditor-${name}.pdf`);
      await page.pdf({ path: pdf, format: 'A4' });
      try {
        execFileSync('pdftoppm', ['-r', '60', '-png', pdf, pdf.replace(/\.pdf$/, '-paper')]);
      } catch {
        // Debian's poppler is not everywhere; the PDF itself is there to be looked at.
      }
    };
    /** As the database's owner, past the service and with every trigger asleep. */
    const tamper = (sql: string): Promise<void> =>
      clinic.store.ownerTransaction((owner) =>
        owner.script(`set local session_replication_role = replica; ${sql}`),
      );

    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      limb = await deliveredLimb(shop);
      const desk = clinic.as('front_desk');
      const patient = `/api/v1/patients/${limb.patientId}`;
      const { headers } = await desk.get(patient);
      await ok(desk.patch(patient, { phone: PHONE }, headers['etag'] ?? ''));
      const order = `/api/v1/orders/${limb.orderId}`;
      const read = await desk.get(order);
      await ok(desk.patch(order, { liner: 'gel, 6 mm' }, read.headers['etag'] ?? ''));
      const { item } = await ok<{ item: { serial: string } }>(
        clinic.as('auditor').get(`/api/v1/items/${limb.hardware.lock}`),
      );
      serial = item.serial;
      await putTheLotAround();
      wornOut = await threeYearsOfALock();
      browser = await launch();
      ({ page, complaints } = await openPage(browser, clinic, 'desk', 'en-GB', 'block'));
      await signInAs(page, clinic.people.auditor);
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    /** One piece worn, one in a socket in work, one in quarantine, one scrapped, two in the drawer. */
    async function putTheLotAround(): Promise<void> {
      const { itemIds } = await ok<{ itemIds: string[] }>(
        clinic.as('technician').post('/api/v1/items', {
          partId: shop.parts.pyramid,
          serials: ['R1', 'R2', 'R3', 'R4', 'R5', 'R6'],
          lot: LOT,
          toPlaceId: shop.bin,
        }),
      );
      const [worn = '', inWork = '', quarantined = '', scrapped = ''] = itemIds;
      const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
        clinic.as('prosthetist').post(`/api/v1/orders/${limb.orderId}/service-visits`, {
          socketId: limb.socketId,
          kind: 'part_replaced',
          note: 'Pyramid worn.',
        }),
      );
      const visit = { serviceVisitId };
      const place = inPosition(limb.socketId, 'pyramid');
      const old = { itemId: limb.hardware.pyramid };
      await ok(move(shop, old, place, { kind: 'quarantine' }, 'replaced_in_service', visit));
      await ok(move(shop, { itemId: worn }, inBin(shop), place, 'replaced_in_service', visit));
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const { id } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
      await ok(move(shop, { itemId: inWork }, inBin(shop), inPosition(id, 'pyramid')));
      const away = { kind: 'quarantine' };
      await ok(move(shop, { itemId: quarantined }, inBin(shop), away, 'quarantined'));
      await ok(move(shop, { itemId: scrapped }, inBin(shop), { kind: 'scrap' }, 'scrapped'));
    }

    /** A lock that went through six sockets of three orders in three years. @returns its serial */
    async function threeYearsOfALock(): Promise<string> {
      const [itemId = ''] = await shop.receive('lock', 1);
      let at: object = inBin(shop);
      for (let order = 0; order < 3; order += 1) {
        const { orderId } = await openedOrder(shop, { promisedOn: inTwoMonths() });
        await acceptedCast(shop, orderId);
        let before = '';
        for (let socket = 0; socket < 2; socket += 1) {
          clinic.clock.pass((150 + 37 * socket) * 24 * 60);
          const { id } = await makeSocket(shop, orderId, {
            kind: 'check',
            sheetThicknessMm: 12,
            ...(before === '' ? {} : { replacesSocketId: before }),
          });
          before = id;
          const to = inPosition(id, 'lock');
          await ok(move(shop, { itemId }, at, to, 'issued'));
          at = to;
        }
        clinic.clock.pass(20 * 24 * 60);
        await ok(move(shop, { itemId }, at, inBin(shop), 'returned_to_bin'));
        at = inBin(shop);
      }
      const { item } = await ok<{ item: { serial: string } }>(
        clinic.as('auditor').get(`/api/v1/items/${itemId}`),
      );
      return item.serial;
    }

    test('nine o’clock: a lock is scanned; its way from drawer to patient is drawn, listed and saved', async () => {
      await page.getByRole('link', { name: 'Trace', exact: true }).click();
      await look('question');
      await ask(serial);
      const drawn = page.getByRole('img', { name: /^The way of / });
      await drawn.waitFor();
      const way = await drawn.textContent();
      expect(way).toContain('Drawer 1');
      expect(way).toContain(`worn by ${limb.chartNumber}`);
      // Drawer, check socket, definitive socket, and from its delivery on the patient.
      expect(await drawn.locator('circle').count()).toBe(4);
      expect(await drawn.locator('.worn').count()).toBe(1);
      await page
        .getByRole('cell', { name: /transferred/ })
        .first()
        .waitFor();
      await look('trace');

      // Three files of the one answer, each read back by somebody who did not write it.
      const rows = readCsv((await saved('Save as CSV')).toString('utf8'));
      const { words } = await readPdf(await saved('Save as PDF'));
      const file = JSON.parse((await saved('Save as JSON')).toString('utf8')) as {
        castbook: string;
        answerSha256: string;
        answer: { rows: { what: string }[] };
      };
      expect(rows.map(({ what }) => what)).toEqual(file.answer.rows.map(({ what }) => what));
      expect(words).toContain(`Trace by serial ${serial}`);
      expect(words).toContain(`${file.answer.rows.length} records.`);
      const hash = createHash('sha256').update(canonicalJson(file.answer));
      expect(file.answerSha256).toBe(hash.digest('hex'));
    });

    test('a lock that went through six sockets in three years is still read at a glance, on phone and paper', async () => {
      await ask(wornOut);
      const drawn = page.getByRole('img', { name: /^The way of / });
      await drawn.getByText('returned to the bin').first().waitFor();
      // Drawer, twice two sockets and the drawer between, three times: ten stays.
      expect(await drawn.locator('circle').count()).toBe(10);
      await look('long-way');
      await onPaper('long-way');
    });

    test('half a number finds what it could be, kind by kind; a mistyped one is told', async () => {
      await type(limb.number.slice(0, 8));
      const found = page.getByRole('region', { name: 'What it could be' });
      await found.getByRole('link', { name: new RegExp(`Order ${limb.number}`) }).waitFor();
      await look('could-be');
      await type(`${limb.number.slice(0, -1)}${limb.number.endsWith('A') ? 'B' : 'A'}`);
      await found.getByText(/Nothing else has such a name or number either/).waitFor();
      await type('');
      await page.getByRole('button', { name: 'Look it up' }).click();
      await page.getByText('Type what you know.').waitFor();
    });

    test('a patient by name; the answer stands in its address, and comes in pages', async () => {
      const [patient] = await clinic.store.raw<{ name: string }>(
        'select family_name as name from patient where id = $1',
        [limb.patientId],
      );
      await ask(patient?.name ?? '');
      await page.getByRole('heading', { name: `Patient ${limb.chartNumber}` }).waitFor();
      expect(new URL(page.url()).searchParams.get('by')).toBe('patient');
      await page.goto(`/trace?by=order&key=${limb.number}`);
      await page.getByText(/50 records so far; there are more/).waitFor();
      await page.getByRole('button', { name: 'More of it' }).click();
      await page.getByText(/\d+ records; no more\./).waitFor();
      const whole = await ok<{ rows: object[] }>(
        clinic.as('auditor').get(`/api/v1/trace?order=${limb.number}&limit=1000`),
      );
      expect(await page.locator('table.stacked tbody tr').count()).toBe(whole.rows.length);
      // Each piece of hardware has its own picture.
      await page.getByLabel('Of which piece').selectOption({ index: 1 });
      await page.getByRole('img', { name: /^The way of / }).waitFor();
    });

    test('a person by name: what was done, and with what', async () => {
      await ask('Tamás Bench');
      await page.getByRole('heading', { name: 'Person Tamás Bench of KL' }).waitFor();
      await page.getByText('works here', { exact: true }).waitFor();
      await page.getByRole('cell', { name: 'Tamás Bench of KL' }).first().waitFor();
    });

    test('the history of the order has the value before; the patient’s has it too, as far as the role sees', async () => {
      await page.goto(`/orders/${limb.orderId}`);
      await page.getByText('Show what was done, by whom, and the values before').click();
      const changed = page.getByRole('row', { name: /order changed/ });
      await changed.waitFor();
      expect(await changed.locator('del').textContent()).toContain('nothing');
      expect(await changed.locator('ins').textContent()).toContain('gel, 6 mm');
      await page.getByRole('link', { name: 'The history on a page of its own' }).click();
      await page.getByRole('heading', { name: `History of order ${limb.number}` }).waitFor();
      await page.getByRole('row', { name: /order changed/ }).waitFor();
      await look('history');
      await onPaper('history');
      const rows = readCsv((await saved('Save as CSV')).toString('utf8'));
      expect(rows).toContainEqual(
        expect.objectContaining({ field: 'liner', before: '', after: 'gel, 6 mm' }),
      );

      await page.goto(`/history/patient/${limb.patientId}`);
      await page.getByText('Changed, but not shown to your role: phone.').waitFor();
      expect(await page.getByText(PHONE).count()).toBe(0);
      await page.getByRole('checkbox', { name: 'also who looked it up' }).check();
      await page.getByText('trace read').first().waitFor();
    });

    test('the record is verified in this browser: whole; its head is noted on paper', async () => {
      await page.getByRole('link', { name: 'Verify the record' }).click();
      const head = page.locator('.facts .noted');
      await head.waitFor();
      const paper = (await head.textContent()) ?? '';
      expect(paper).toMatch(/^\d+: ([0-9a-f]{4} ?){8}$/);
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByRole('heading', { name: 'The record is whole' }).waitFor();
      await page.getByText('What you found is in the record now.').waitFor();
      await look('record');
      // Some days later, against what was noted; typed as people type.
      clinic.clock.pass(60);
      await openedOrder(shop, { promisedOn: inTwoMonths() });
      await page.getByLabel('What you noted earlier').fill('12: 0000');
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByText('This is no number with eight groups').waitFor();
      await page.getByLabel('What you noted earlier').fill(paper.toUpperCase());
      await page.getByRole('radio', { name: 'only what came after the noted one' }).check();
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByText(/It still contains record \d+ as you noted it/).waitFor();
    });

    test('a record that ends before what was noted has lost something', async () => {
      await page.goto('/record');
      await page.getByLabel('What you noted earlier').fill(`999999: ${'0123 '.repeat(8)}`);
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByText('The record is missing: it was taken out, or cut off.').waitFor();
    });

    test('stopped half-way it goes on from there', async () => {
      await page.goto('/record');
      // A line that lets the second piece through only when "Stop" was pressed, so that there is a half-way.
      let letThrough = (): void => undefined;
      const pressed = new Promise<void>((done) => {
        letThrough = done;
      });
      let asked = 0;
      await page.route('**/record/events*', async (route) => {
        asked += 1;
        if (asked > 1) await pressed;
        const url = new URL(route.request().url());
        url.searchParams.set('limit', '100');
        await route.continue({ url: url.toString() }).catch(() => undefined);
      });
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByRole('button', { name: 'Stop' }).click();
      letThrough();
      await page.getByText(/^Stopped after record/).waitFor();
      await page.getByRole('button', { name: 'Go on' }).click();
      await page.getByRole('heading', { name: 'The record is whole' }).waitFor();
      await page.unrouteAll({ behavior: 'wait' });
    });

    test('somebody writes into the table past the service: the page names the record', async () => {
      const [event] = await clinic.store.raw<{ seq: number; data: string }>(
        `select seq, data::text as data from event where kind = 'order.changed' order by seq limit 1`,
      );
      const seq = event?.seq ?? 0;
      await tamper(
        `update event set data = jsonb_set(data, '{after,liner}', '"gel, 3 mm"') where seq = ${seq}`,
      );
      await page.goto('/record');
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByText(`Record ${seq} is not as it was written`).waitFor();
      await page.getByText('Its content is not what was hashed when it was written.').waitFor();
      await page.getByText('What you found is in the record now.').waitFor();
      await look('record-tampered');
      await onPaper('record-tampered');
      await tamper(`update event set data = '${event?.data ?? '{}'}' where seq = ${seq}`);
    });

    test('the recall drill: the clock stops, the counts add up, and people are listed as the role may see', async () => {
      // From a piece that is traced to the recall of its lot, or straight from the head.
      await page.goto('/trace?by=serial&key=R1');
      await page.getByRole('link', { name: `lot ${LOT}` }).click();
      await page.getByText(/^Answered after \d+\.\d s$/).waitFor();
      await page.getByRole('link', { name: 'Recall', exact: true }).click();
      await page.getByRole('searchbox', { name: 'Lot of hardware' }).fill(LOT);
      await page.getByLabel('Part', { exact: true }).selectOption('Pyramid, four-hole');
      await page.getByRole('button', { name: 'Ask, and start the clock' }).click();
      await page.getByText(/^Answered after \d+\.\d s$/).waitFor();
      await page.getByRole('heading', { name: 'One person to call' }).waitFor();
      await page.getByText('Reached: 0. Still to be reached: 1.').waitFor();
      const counts = await page.locator('.sums tbody td').allTextContents();
      const [together, received] = await page.locator('.sums tfoot td').allTextContents();
      expect(counts.reduce((sum, each) => sum + Number(each), 0)).toBe(6);
      expect([together, received]).toEqual(['6', '6']);
      await page.getByText('It adds up').waitFor();
      // The auditor calls nobody: chart number and initials, no name, no telephone.
      expect(await page.getByText(new RegExp(`Inventum|\\${PHONE}`)).allTextContents()).toEqual([]);
      expect(await page.getByText('Note the call').count()).toBe(0);
      await look('recall');
      await onPaper('recall');
      const { words } = await readPdf(await saved('Save as PDF'));
      expect(words).toContain(`Recall of lot ${LOT}`);
      expect(readCsv((await saved('Save as CSV')).toString('utf8')).length).toBeGreaterThan(5);
      const file = JSON.parse((await saved('Save as JSON')).toString('utf8')) as {
        answer: { received: number };
      };
      expect(file.answer.received).toBe(6);

      await page.goto(`/recall?of=batch&key=${shop.batches['resin'] ?? ''}`);
      await page.getByText(/^Answered after/).waitFor();
      await page.getByText('left by the book').waitFor();
      expect(complaints).toEqual([]);
    });

    test('the desk has names and telephones, and ticks the calls off', async () => {
      const desk = await openPage(browser, clinic, 'desk');
      await signInAs(desk.page, clinic.people.front_desk);
      await desk.page.goto(`/recall?of=lot&key=${LOT}`);
      await desk.page.getByRole('link', { name: PHONE }).waitFor();
      const note = async (outcome: string, agreed: string): Promise<void> => {
        // Folded from the time before.
        await desk.page.locator('.note-call input').first().waitFor({ state: 'detached' });
        await desk.page.getByText('Note the call').first().click();
        await desk.page.getByRole('radio', { name: outcome, exact: true }).check();
        await desk.page.getByLabel('What was agreed').fill(agreed);
        await desk.page.getByRole('button', { name: 'Note the call' }).click();
      };
      await desk.page.getByText('Note the call').first().click();
      await desk.page.getByRole('button', { name: 'Note the call' }).click();
      await desk.page.locator('.against').first().waitFor();
      await desk.page.getByText('Note the call').first().click();
      await note('message left', 'Calls back.');
      await desk.page.getByText('Reached: 0. Still to be reached: 1.').waitFor();
      await note('reached', 'Comes on Monday.');
      await desk.page.getByText('Everybody was reached.').waitFor();
      await lookAt(desk.page, 'auditor-calls-desk');
      await lookAtOnPhone(desk.page, 'auditor-calls-phone');
      // It is in the record, not on this page only.
      await desk.page.reload();
      await desk.page.getByText(/Comes on Monday\./).waitFor();
      await desk.page.goto('/trace');
      await desk.page.getByRole('searchbox', { name: 'What you know' }).fill('R1');
      await desk.page.getByText(/Not looked for in your role: socket, serial/).waitFor();
      expect(desk.complaints).toEqual([]);
      await desk.page.context().close();
    });

    test('the prosthetist takes the lot out of use, and traces the own work only', async () => {
      const fitting = await openPage(browser, clinic, 'desk');
      await signInAs(fitting.page, clinic.people.prosthetist);
      await fitting.page.goto(`/recall?of=lot&key=${LOT}`);
      await fitting.page.getByText('Take the lot out of use').click();
      await fitting.page
        .getByLabel('Who recalls it, and why')
        .fill('The maker, cracks at the foot.');
      await fitting.page.getByRole('button', { name: 'Take it out of use' }).click();
      await fitting.page.getByText('To quarantine: 2. Findings opened: 2.').waitFor();
      await fitting.page.goto('/trace');
      await fitting.page.getByText('By person you trace your own work').waitFor();
      await fitting.page.getByRole('link', { name: 'My own work' }).click();
      await fitting.page.getByRole('heading', { name: 'Person Paula Fitting of KL' }).waitFor();
      expect(fitting.complaints).toEqual([]);
      await fitting.page.context().close();
    });
  },
);
