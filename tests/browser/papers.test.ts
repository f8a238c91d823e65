/** Labels and papers: sized by the administrator, printed where the work is, and scanned back. */
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
  type Watched,
} from '../support/browser.ts';
import {
  deliver,
  limbToDeliver,
  ok,
  readSocket,
  stockedShop,
  type MadeLimb,
  type Shop,
} from '../support/job.ts';
import { decodeCodes, readPdf, renderPage } from '../support/pdf.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let shop: Shop;
    let limb: MadeLimb;
    let socketNumber: string;
    const watched: Watched[] = [];

    async function pageOf(role: keyof TestClinic['people'], size: 'desk' | 'phone'): Promise<Page> {
      const opened = await openPage(browser, clinic, size);
      watched.push(opened);
      await signInAs(opened.page, clinic.people[role]);
      return opened.page;
    }
    /** Presses a button that prints, and reads what came. */
    async function printed(page: Page, name: string): Promise<Buffer> {
      let bytes: Buffer | undefined;
      // Chromium keeps no body of a PDF for those who watch it: it is taken on the way.
      await page.route(/\.pdf/, async (route) => {
        const response = await route.fetch();
        bytes = await response.body();
        await route.fulfill({ response, body: bytes });
      });
      await page.getByRole('button', { name, exact: true }).click();
      const link = page.getByRole('link', { name: `Open it again: ${name}`, exact: true });
      expect(await link.getAttribute('href')).toMatch(/^blob:/);
      await page.unroute(/\.pdf/);
      return bytes ?? Buffer.of();
    }
    const codeOn = async (pdf: Buffer): Promise<string> =>
      (await decodeCodes(await renderPage(pdf, 1, 300 / 72)))[0] ?? '';

    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      limb = await limbToDeliver(shop);
      socketNumber = (await readSocket(shop, limb.socketId)).number;
      browser = await launch();
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test('an administrator measures the stock; what is too small is refused beside its field', async () => {
      const page = await pageOf('administrator', 'desk');
      await page.getByRole('link', { name: 'Set-up' }).click();
      await page.getByRole('link', { name: 'Labels', exact: true }).click();
      await page.getByText('These are starting values').waitFor();
      const width = page.getByLabel('Socket: width, mm');
      expect(await width.inputValue()).toBe('57');
      await width.fill('30');
      await page.getByLabel('Bin: height, mm').fill('');
      await page.getByRole('button', { name: 'Record the sizes' }).click();
      await expect
        .poll(() => page.getByLabel('Bin: height, mm').getAttribute('aria-invalid'))
        .toBe('true');
      await page.getByLabel('Bin: height, mm').fill('51');
      await page.getByRole('button', { name: 'Record the sizes' }).click();
      await page.getByText('It is 30 mm; it can be 48 to 297 mm.').waitFor();
      expect(await width.getAttribute('aria-invalid')).toBe('true');
      await lookAt(page, 'papers-sizes-desk');
      await width.fill('62,5');
      await page.getByRole('button', { name: 'Record the sizes' }).click();
      await page.getByText('Version 1 of the label sizes is in force.').waitFor();
      await lookAtOnPhone(page, 'papers-sizes-phone');
      const bin = await printed(page, 'Label of Drawer 1');
      expect((await readPdf(bin)).words).toBe('Drawer 1');
    });

    test('a socket’s label, printed at its order and scanned, opens its next operation', async () => {
      const desk = await pageOf('front_desk', 'desk');
      await desk.goto(`/orders/${limb.orderId}`);
      await desk.getByText('Papers', { exact: true }).click();
      const label = await printed(desk, `Label of ${socketNumber}`);
      const { pages } = await readPdf(label);
      expect(pages[0]?.widthPt).toBeCloseTo((62.5 * 72) / 25.4, 1);
      expect(pages[0]?.words).toContain('LEFT');
      await lookAt(desk, 'papers-order-desk');
      await lookAtOnPhone(desk, 'papers-order-phone');

      const phone = await pageOf('technician', 'phone');
      // As the phone's own camera opens it, here without the clinic's public address.
      await phone.goto(new URL(await codeOn(label)).pathname);
      await phone.waitForURL(`**/bench/${limb.socketId}`);
      // And as the bench's own field takes a scanner's line.
      await phone.goto('/bench');
      await phone
        .getByLabel(/code|number/i)
        .first()
        .fill(await codeOn(label));
      await phone.getByRole('button', { name: 'Open' }).click();
      await phone.waitForURL(`**/bench/${limb.socketId}`);
      await phone.getByText(socketNumber).first().waitFor();
    });

    test('a bin’s label names the place at a move, and opens what lies there', async () => {
      const phone = await pageOf('technician', 'phone');
      const link = `https://castbook.test/p/${shop.bin}`;
      await phone.goto(`/bench/${limb.socketId}/hardware`);
      await phone.getByRole('button', { name: /^take out: Ratchet pin/ }).click();
      const scan = phone.getByLabel('Scan the bin’s label');
      await scan.fill('https://castbook.test/p/01890000-0000-7000-8000-000000000000');
      await phone.getByText('This is no label of a bin of ours.').waitFor();
      await scan.fill(link);
      await phone.getByRole('button', { name: 'Take it out, into the bin' }).waitFor();
      await lookAt(phone, 'papers-bin-scanned-phone');
      await phone.getByRole('button', { name: 'Take it out, into the bin' }).click();
      await phone.getByRole('button', { name: 'put in: pin', exact: true }).waitFor();
      const { item } = await ok<{ item: { placeName: string } }>(
        clinic.as('technician').get(`/api/v1/items/${limb.hardware.pin}`),
      );
      expect(item.placeName).toBe('Drawer 1');
      const slip = await printed(phone, `Hardware move slip of ${socketNumber}`);
      expect((await readPdf(slip)).words).toContain('returned to bin');

      await phone.goto(new URL(link).pathname);
      await phone.getByRole('heading', { name: 'Bin · Drawer 1' }).waitFor();
      await phone.getByRole('listitem').filter({ hasText: 'Ratchet pin' }).first().waitFor();
      await lookAt(phone, 'papers-bin-phone');
    });

    test('after the signed delivery its record and the wearer’s sheet are there to print', async () => {
      const other = await limbToDeliver(shop);
      const { number } = await readSocket(shop, other.socketId);
      const page = await pageOf('prosthetist', 'desk');
      await page.goto(`/orders/${other.orderId}/delivery`);
      await page.getByText('Nothing is missing').waitFor();
      expect(await page.getByRole('button', { name: `Delivery record of ${number}` }).count()).toBe(
        0,
      );
      await ok(deliver(shop, other.orderId, other.socketId));
      await page.reload();
      const record = await printed(page, `Delivery record of ${number}`);
      expect((await readPdf(record)).words).toContain('Released and signed electronically');
      const sheet = await printed(page, `Sheet for who wears ${number}`);
      expect((await readPdf(sheet)).words).toContain('If the lock lets go');
      await lookAt(page, 'papers-delivered-desk');
      expect(watched.flatMap(({ complaints }) => complaints)).toEqual([]);
    });
  },
);
