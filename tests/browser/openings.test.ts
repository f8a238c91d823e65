/** Opening what a role does not see, its review, and who looked a patient up: on the screen. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openPage,
  signInAs,
  type Watched,
} from '../support/browser.ts';
import { ok, openedOrder, stockedShop } from '../support/job.ts';
import { readCsv } from '../support/readCsv.ts';
import fs from 'node:fs';

const PHONE = '+43 660 9182736';
const WHAT_HAPPENED = 'Resin over the label; two charts begin alike.';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let patientId: string;
    let orderId: string;
    let chartNumber: string;

    beforeAll(async () => {
      clinic = await testClinic();
      ({ patientId, orderId, chartNumber } = await openedOrder(await stockedShop(clinic)));
      const desk = clinic.as('front_desk');
      const patient = `/api/v1/patients/${patientId}`;
      const { headers } = await desk.get(patient);
      await ok(desk.patch(patient, { phone: PHONE }, headers['etag'] ?? ''));
      browser = await launch();
    }, 240_000);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    const turnedTo = async (
      person: TestPerson,
      address: string,
      size: 'desk' | 'phone' = 'desk',
    ): Promise<Watched> => {
      const watched = await openPage(browser, clinic, size);
      await signInAs(watched.page, person);
      await watched.page.goto(address);
      return watched;
    };
    const done = async ({ page, complaints }: Watched): Promise<void> => {
      expect(complaints).toEqual([]);
      await page.context().close();
    };
    /** Every control at the bench is at least 44 px either way (WCAG 2.2, 2.5.5). */
    const narrowerThanAFinger = (page: Page): Promise<string[]> =>
      page.evaluate<
        string[]
      >(`[...document.querySelectorAll('main :is(button, summary, select, textarea, input, a.touch)')]
        .filter((each) => each.checkVisibility())
        .map((each) => each.matches('[type=radio], [type=checkbox]') ? each.closest('label') : each)
        .map((each) => [each, each.getBoundingClientRect()])
        .filter(([, { width, height }]) => width < 44 || height < 44)
        .map(([each]) => each.outerHTML.slice(0, 100))`);

    test('a technician whose label is under resin opens the name for half an hour, saying why', async () => {
      const there = await turnedTo(clinic.people.technician, `/orders/${orderId}`, 'phone');
      const { page } = there;
      await page.getByText('Open more of this patient').click();
      await page
        .getByText(/you alone see .* given name, family name, date of birth, telephone/)
        .waitFor();
      expect(await page.getByText(/Inventum/).count()).toBe(0);
      await lookAt(page, 'openings-ask-phone');
      expect(await narrowerThanAFinger(page)).toEqual([]);
      const act = page.getByRole('button', { name: 'Open for half an hour' });
      await act.click();
      await page.locator('[aria-invalid=true]').first().waitFor();
      await page.getByRole('radio', { name: 'the label or traveller cannot be read' }).check();
      await page.getByLabel('What happened').fill(WHAT_HAPPENED);
      await act.click();
      await page.getByText(/^Open to you until/).waitFor();
      await page.getByText(PHONE).waitFor();
      expect(await page.getByText(/Inventum/).count()).toBeGreaterThan(0);
      await lookAt(page, 'openings-opened-phone');
      await done(there);
      // A colleague at the next bench sees no more than before.
      const colleague = await clinic.as('prosthetist').get(`/api/v1/patients/${patientId}`);
      expect(colleague.body.more).toBeUndefined();
    });

    test('an auditor reviews it: not in order needs words; then it stands among the reviewed', async () => {
      const there = await turnedTo(clinic.people.auditor, '/openings');
      const { page } = there;
      await page.getByRole('link', { name: chartNumber }).waitFor();
      await page.getByText(WHAT_HAPPENED).waitFor();
      await page.getByText('given name, family name, date of birth, telephone').waitFor();
      await page.locator('summary', { hasText: 'Review' }).click();
      await lookAt(page, 'openings-review-desk');
      await lookAtOnPhone(page, 'openings-review-phone');
      await page.getByRole('radio', { name: 'not in order', exact: true }).check();
      await page.getByRole('button', { name: 'Note the review' }).click();
      await page.getByLabel('Words').and(page.locator('[aria-invalid=true]')).waitFor();
      await page.getByLabel('Words').fill('The desk was there and could have read it out.');
      await page.getByRole('button', { name: 'Note the review' }).click();
      await page.getByText('There are none.').waitFor();
      await page.getByRole('radio', { name: 'reviewed', exact: true }).check();
      await page.getByText(/^not in order: Aurel Lens of KL, .*The desk was there/).waitFor();
      await lookAtOnPhone(page, 'openings-reviewed-phone');
      await done(there);
    });

    test('what one opened oneself somebody else reviews', async () => {
      const auditor = clinic.as('auditor');
      await ok(
        auditor.post(`/api/v1/patients/${patientId}/more`, {
          reason: 'recall_call',
          words: 'Nobody at the desk today, and the lot is recalled.',
        }),
      );
      const own = await turnedTo(clinic.people.auditor, '/openings');
      await own.page.getByText('Nobody at the desk today').waitFor();
      expect(await own.page.getByText('Review', { exact: true }).count()).toBe(0);
      await done(own);
      const other = await turnedTo(clinic.people.administrator, '/openings');
      await other.page.getByText('Nobody at the desk today').waitFor();
      await other.page.locator('summary', { hasText: 'Review' }).waitFor();
      await done(other);
    });

    test('a patient asks who looked: the auditor shows it, in words, and saves it', async () => {
      const there = await turnedTo(clinic.people.auditor, `/history/patient/${patientId}`);
      const { page } = there;
      await page.getByText('fields opened for a reason').first().waitFor();
      // What was opened and why is said in words, and no id stands where a word is meant.
      const opened = page.getByRole('row', { name: /fields opened for a reason.*Tamás Bench/ });
      expect(await opened.innerText()).toContain('the label or traveller cannot be read');
      expect(await opened.innerText()).toContain('given name, family name, date of birth');
      expect(await page.locator('main').innerText()).not.toMatch(/[0-9a-f]{8}-[0-9a-f]{4}-/);
      await page.getByText('Show who looked').click();
      const looked = page.getByRole('row', { name: /Tamás Bench of KL opened for a reason/ });
      await looked.waitFor();
      await page.getByText(/^\d+ looks; no more\.$/).waitFor();
      await lookAt(page, 'openings-looks-desk');
      await lookAtOnPhone(page, 'openings-looks-phone');
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: 'Save as CSV, for the patient who asks' }).click(),
      ]);
      const rows = readCsv(fs.readFileSync(await file.path(), 'utf8'));
      expect(rows.map((row) => Object.values(row).join(' ')).join('\n')).toContain(
        'Tamás Bench of KL',
      );
      await done(there);
    });

    test('in German nothing of it stays in English', async () => {
      const watched = await openPage(browser, clinic, 'desk', 'de-DE');
      const { page } = watched;
      await page.goto('/');
      await page.getByLabel('E-Mail-Adresse').fill(clinic.people.auditor.email);
      await page.getByLabel('Passwort').fill(clinic.people.auditor.password);
      await page.getByRole('button', { name: 'Anmelden' }).click();
      await page.getByRole('link', { name: 'Rückruf' }).waitFor();
      await page.goto(`/history/patient/${patientId}`);
      const opened = page.getByRole('row', { name: /Angaben mit Begründung freigegeben/ }).last();
      await opened.waitFor();
      expect(await opened.innerText()).toContain(
        'freigegeben: Vorname, Familienname, Geburtsdatum, Telefon',
      );
      expect(await opened.innerText()).toContain(
        'Grund: Etikett oder Laufzettel ist nicht zu lesen',
      );
      expect(await opened.innerText()).not.toMatch(/fields|words|until|reason/);
      await done(watched);
    });
  },
);
