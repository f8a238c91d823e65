/** The auditor's day: the way of a lock told and drawn, files saved, and a recall drill that adds up. */
import fs from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
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
import { readCsv } from '../support/readCsv.ts';

const LOT = 'P-RECALLED';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let shop: Shop;
    let limb: MadeLimb;
    let serial: string;
    let page: Page;
    let complaints: string[];

    const onThePhone = (name: string): Promise<void> =>
      lookAtOnPhone(page, `auditor-${name}-phone`);
    const ask = async (kind: string, field: string, value: string): Promise<void> => {
      await page.getByRole('radio', { name: kind, exact: true }).check();
      await page.getByRole('searchbox', { name: field, exact: true }).fill(value);
      await page.getByRole('button', { name: 'Ask the record' }).click();
    };
    const saved = async (button: string): Promise<Buffer> => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: button }).click(),
      ]);
      return fs.readFileSync(await file.path());
    };

    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      limb = await deliveredLimb(shop);
      await clinic.store.raw(`update patient set phone = '+43 1 0000 001' where id = $1`, [
        limb.patientId,
      ]);
      const { item } = await ok<{ item: { serial: string } }>(
        clinic.as('auditor').get(`/api/v1/items/${limb.hardware.lock}`),
      );
      serial = item.serial;
      await putTheLotAround();
      browser = await launch();
      ({ page, complaints } = await openPage(browser, clinic, 'desk'));
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

    test('a lock is asked for by its serial: its way from drawer to patient, drawn, listed and saved', async () => {
      await page.getByRole('link', { name: 'Trace', exact: true }).click();
      await lookAt(page, 'auditor-question-desk');
      await ask('Serial', 'Serial of a piece', serial);
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
      await lookAt(page, 'auditor-trace-desk');
      await onThePhone('trace');

      const rows = readCsv((await saved('Save as CSV')).toString('utf8'));
      expect(rows.length).toBeGreaterThan(3);
      expect((await saved('Save as PDF')).subarray(0, 5).toString()).toBe('%PDF-');
    });

    test('the answer stands in its address; a long one comes in pages', async () => {
      await page.goto(`/trace?by=order&key=${limb.number}`);
      await page.getByText(/50 records so far; there are more/).waitFor();
      expect(await page.locator('table.stacked tbody tr').count()).toBe(50);
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

    test('a mistyped number and an unknown one are told in words; a person is chosen by name', async () => {
      const mistyped = `${limb.number.slice(0, -1)}${limb.number.endsWith('A') ? 'B' : 'A'}`;
      await ask('Order', 'Order number', mistyped);
      await page.getByRole('alert').waitFor();
      expect(await page.getByRole('searchbox', { name: 'Order number' }).inputValue()).toBe(
        mistyped,
      );
      await page.getByRole('radio', { name: 'Person', exact: true }).check();
      await page.getByRole('combobox', { name: 'Person' }).selectOption('Tamás Bench of KL');
      await page.getByRole('button', { name: 'Ask the record' }).click();
      await page.getByText('works here', { exact: true }).waitFor();
      await page.getByRole('cell', { name: 'Tamás Bench of KL' }).first().waitFor();
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
      const counts = await page.locator('.sums tbody td').allTextContents();
      const [together, received] = await page.locator('.sums tfoot td').allTextContents();
      expect(counts.reduce((sum, each) => sum + Number(each), 0)).toBe(6);
      expect([together, received]).toEqual(['6', '6']);
      await page.getByText('It adds up').waitFor();
      // The auditor calls nobody: chart number and initials, no name, no telephone.
      expect(await page.getByText(/Inventum|\+43 1 0000 001/).allTextContents()).toEqual([]);
      await lookAt(page, 'auditor-recall-desk');
      await onThePhone('recall');
      expect((await saved('Save as PDF')).subarray(0, 5).toString()).toBe('%PDF-');
      expect(readCsv((await saved('Save as CSV')).toString('utf8')).length).toBeGreaterThan(5);

      await page.goto(`/recall?of=batch&key=${shop.batches['resin'] ?? ''}`);
      await page.getByText(/^Answered after/).waitFor();
      await page.getByText('left by the book').waitFor();
      expect(complaints).toEqual([]);
    });

    test('the desk, asked for the same lot, has names and telephones; the prosthetist takes it out of use', async () => {
      const desk = await openPage(browser, clinic, 'desk');
      await signInAs(desk.page, clinic.people.front_desk);
      await desk.page.goto(`/recall?of=lot&key=${LOT}`);
      await desk.page.getByRole('link', { name: '+43 1 0000 001' }).waitFor();
      await desk.page
        .getByText(/Inventum/)
        .first()
        .waitFor();
      await desk.page.goto('/trace');
      // The desk asks by patient and order only.
      await desk.page.getByRole('radio', { name: 'Patient' }).waitFor();
      expect(await desk.page.getByRole('radio').count()).toBe(2);
      expect(desk.complaints).toEqual([]);
      await desk.page.context().close();

      const fitting = await openPage(browser, clinic, 'desk');
      await signInAs(fitting.page, clinic.people.prosthetist);
      await fitting.page.goto(`/recall?of=lot&key=${LOT}`);
      await fitting.page.getByText('Take the lot out of use').click();
      await fitting.page
        .getByLabel('Who recalls it, and why')
        .fill('The maker, cracks at the foot.');
      await fitting.page.getByRole('button', { name: 'Take it out of use' }).click();
      await fitting.page.getByText('To quarantine: 2. Findings opened: 2.').waitFor();
      expect(fitting.complaints).toEqual([]);
      await fitting.page.context().close();
    });
  },
);
