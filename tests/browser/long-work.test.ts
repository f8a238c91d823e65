/** Long work on the screen: asked for, followed, cancelled, saved. */
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
  type Watched,
} from '../support/browser.ts';
import { aDoer } from '../support/longWork.ts';
import { readCsv } from '../support/readCsv.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let watched: Watched;
    let page: Page;
    let doer: { stop: () => Promise<void> } | undefined;
    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      watched = await openPage(browser, clinic, 'desk');
      page = watched.page;
      await signInAs(page, clinic.people.administrator);
    });
    afterAll(async () => {
      await doer?.stop();
      await page.context().close();
      await clinic.close();
      await browser.close();
    });

    const newest = () => page.locator('.works > li').first();
    const saved = async (button: string): Promise<string> => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        newest().getByRole('button', { name: button }).click(),
      ]);
      return fs.readFileSync(await download.path(), 'utf8');
    };

    test('many lots are asked at once from the recall page, wait, and can be cancelled', async () => {
      await page.getByRole('link', { name: 'Recall', exact: true }).click();
      await page.getByRole('link', { name: 'Many lots at once' }).click();
      await page.getByLabel('The lots or batches').fill('L-1\nL-2\n\nL-2; L-3');
      await page.getByText('3 entries').waitFor();
      await page.getByRole('button', { name: 'Ask for all of them' }).click();
      await newest().getByText('waiting for its turn').waitFor();
      await lookAt(page, 'long-work-waiting');
      await newest().getByRole('button', { name: 'Cancel' }).click();
      await newest().getByText('cancelled').waitFor();
    });

    test('an empty list is refused beside its field', async () => {
      await page.getByRole('button', { name: 'Ask for all of them' }).click();
      await page.locator('textarea[aria-invalid=true]').waitFor();
    });

    test('progress comes by itself, and the result is saved as a file', async () => {
      await page
        .getByLabel('The lots or batches')
        .fill(Array.from({ length: 30 }, (_, n) => `L-${String(n)}`).join('\n'));
      await page.getByRole('button', { name: 'Ask for all of them' }).click();
      await newest().getByText('waiting for its turn').waitFor();
      // Under way, as it looks while a process has it.
      await clinic.store.raw(
        `update long_work set state = 'running', taken_by = id, started_at = now(), lease_until = now() + interval '1 hour',
           total = 30, done = 12 where ended_at is null`,
      );
      const bar = newest().getByRole('progressbar', { name: 'How far it is' });
      await bar.waitFor();
      await newest().getByText('under way, 12 of 30').waitFor();
      await lookAt(page, 'long-work-running');
      await lookAtOnPhone(page, 'long-work-running-phone');
      await clinic.store.raw(
        `update long_work set state = 'waiting', total = null, done = 0 where ended_at is null`,
      );
      doer = aDoer(clinic.store, clinic.clock.now);
      await newest().getByText('done, 30 of 30').waitFor();
      expect(readCsv(await saved('Save as CSV'))).toHaveLength(30);
    });

    test('parts from a file are looked at, and told line by line', async () => {
      await page.getByRole('radio', { name: 'Parts from a file' }).check();
      await page.getByLabel('CSV file of parts').setInputFiles({
        name: 'parts.csv',
        mimeType: 'text/csv',
        buffer: Buffer.from('kind,catalogueNumber,name\r\nspring,B-1,Spring\r\ngear,B-2,Gear\r\n'),
      });
      await page.getByRole('button', { name: 'Look at the file' }).click();
      await newest().getByText('done, 2 of 2').waitFor();
      const rows = readCsv(await saved('Save what was found'));
      expect(rows.map(({ line, outcome }) => [line, outcome])).toEqual([
        ['2', 'fits'],
        ['3', 'wrong'],
      ]);
      await lookAt(page, 'long-work-import');
    });

    test('the record is exported', async () => {
      await page.getByRole('radio', { name: 'Export of the record' }).check();
      await page.getByRole('button', { name: 'Export', exact: true }).click();
      await newest().getByText('of the whole clinic').waitFor();
      await newest()
        .getByText(/^done, /)
        .waitFor();
      const lines = (await saved('Save the export')).trim().split('\n');
      expect(JSON.parse(lines[0]!)).toMatchObject({ line: 'head', of: 'clinic' });
      expect(watched.complaints).toEqual([]);
    });
  },
);
