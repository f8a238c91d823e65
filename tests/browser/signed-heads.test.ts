/** Signed heads of the record on the screen: signed, saved, printed, and held against what is there later. */
import fs from 'node:fs';
import path from 'node:path';
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
import { openedOrder, stockedShop, type Shop } from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';
import { aKey } from '../support/signedHeads.ts';

const SAVED = path.resolve(import.meta.dirname, '../output/browser/record-head-saved.json');

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let shop: Shop;
    let page: Page;
    let complaints: string[];

    beforeAll(async () => {
      clinic = await testClinic({ headSigningKey: aKey() });
      shop = await stockedShop(clinic);
      await openedOrder(shop);
      browser = await launch();
      ({ page, complaints } = await openPage(browser, clinic, 'desk'));
      await signInAs(page, clinic.people.auditor);
      await page.goto('/record');
    }, 240_000);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    const saved = async (button: string): Promise<Buffer> => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: button }).click(),
      ]);
      return fs.readFileSync(await file.path());
    };
    const sign = () => page.getByRole('button', { name: 'Sign where the record stands now' });

    test('an auditor has the record’s head signed, saves it, and prints it to be put away', async () => {
      await page.getByText('No head is signed yet.').waitFor();
      await sign().click();
      await page.getByText('Head 1', { exact: true }).waitFor();
      const file = await saved('Save this head as a file');
      const head = JSON.parse(file.toString('utf8')) as { statement: string; treeSize: number };
      expect(JSON.parse(head.statement)).toMatchObject({ number: 1, treeSize: head.treeSize });
      fs.mkdirSync(path.dirname(SAVED), { recursive: true });
      fs.writeFileSync(SAVED, file);
      const { words } = await readPdf(await saved('Print it, to be put away'));
      expect(words).toContain(String(head.treeSize));
      await lookAt(page, 'heads-signed-desk');
      await lookAtOnPhone(page, 'heads-signed-phone');
    });

    test('the record is verified up to its head: root and signature are worked out in this browser', async () => {
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page.getByRole('heading', { name: 'The record is whole' }).waitFor();
      await page.getByText(/^Signed head 1 fits/).waitFor();
      await lookAt(page, 'heads-verified-desk');
      await lookAtOnPhone(page, 'heads-verified-phone');
    });

    test('a week later the newest head is proven to hold all that the saved one held', async () => {
      clinic.clock.pass(7 * 24 * 60);
      await openedOrder(shop);
      // Nobody stays signed in for a week.
      await signInAs(page, clinic.people.auditor);
      await page.goto('/record');
      await sign().click();
      await page.getByText('Head 2', { exact: true }).waitFor();
      await page.getByLabel('A head that you saved earlier').setInputFiles(SAVED);
      await page
        .getByRole('status')
        .getByText(/^Proven: head 2 holds, unchanged .* your head 1 held/)
        .waitFor();
      await lookAtOnPhone(page, 'heads-proven-phone');
    });

    test('a head that the record never had is not proven, and a file that holds none is told apart', async () => {
      const head = JSON.parse(fs.readFileSync(SAVED, 'utf8')) as { statement: string };
      const said = JSON.parse(head.statement) as object;
      const other = JSON.stringify({
        ...head,
        statement: JSON.stringify({ ...said, rootSha256: 'ab'.repeat(32) }),
      });
      const field = page.getByLabel('A head that you saved earlier');
      const hand = (name: string, text: string): Promise<void> =>
        field.setInputFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
      await hand('another.json', other);
      await page
        .getByRole('alert')
        .getByText(/^NOT PROVEN/)
        .waitFor();
      await lookAt(page, 'heads-not-proven-desk');
      await hand('order.json', '{"number":"KL-26-00001-M"}');
      await page.getByText('This file holds no signed head.').waitFor();
    });

    test('a signature that is not the key’s is found out, though every record fits', async () => {
      await clinic.store.ownerTransaction((owner) =>
        owner.script(
          `set local session_replication_role = replica;
           update signed_head set signature = repeat('A', 86) || '==' where number = 2`,
        ),
      );
      await page.goto('/record');
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page
        .getByRole('alert')
        .getByText(/^Signed head 2 does NOT fit/)
        .waitFor();
      expect(await page.getByText('The record is whole').count()).toBe(0);
      // What was found is itself part of the record, and told in its history.
      await page.getByText('What you found is in the record now.').waitFor();
      await page.getByRole('link', { name: /The clinic’s settings/ }).click();
      await page.getByRole('checkbox', { name: 'also who looked it up' }).check();
      await page
        .getByText(/signed head: found does not fit, number 2/)
        .first()
        .waitFor();
      await page.goBack();
      await page.getByRole('button', { name: 'Verify in this browser' }).click();
      await page
        .getByRole('alert')
        .getByText(/^Signed head 2 does NOT fit/)
        .waitFor();
      await lookAtOnPhone(page, 'heads-bad-phone');
      expect(complaints).toEqual([]);
    });
  },
);
