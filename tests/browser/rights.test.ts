/** What is kept and what a patient may ask of it, on the screen: hold, request, correction, copy, erasure. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openPage,
  signInAs,
} from '../support/browser.ts';
import { ok, openedOrder, stockedShop } from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let patientId: string;
    let orderId: string;
    const pages = new Map<Role, Page>();

    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      const shop = await stockedShop(clinic);
      ({ patientId, orderId } = await openedOrder(shop));
      const patient = `/api/v1/patients/${patientId}`;
      const desk = clinic.as('front_desk');
      const { headers } = await desk.get(patient);
      await ok(desk.patch(patient, { phone: '+43 660 9182736' }, headers['etag'] ?? ''));
    }, 300_000);
    afterAll(async () => {
      for (const page of pages.values()) await page.context().close();
      await clinic.close();
      await browser.close();
    });

    /** The patient's sheet as a role sees it. */
    const sheetOf = async (role: Role): Promise<Page> => {
      let page = pages.get(role);
      if (page === undefined) {
        ({ page } = await openPage(browser, clinic, 'desk'));
        pages.set(role, page);
        await signInAs(page, clinic.people[role]);
      }
      await page.goto(`/patients/${patientId}`);
      await page.getByRole('heading', { name: 'Legal holds' }).waitFor();
      return page;
    };
    const fold = (page: Page, name: string) =>
      page.locator('details', { has: page.locator('summary', { hasText: name }) }).first();

    test('an administrator places a hold; whoever opens the order sees it, and it is lifted', async () => {
      const page = await sheetOf('administrator');
      await page.locator('summary', { hasText: 'Place a legal hold' }).click();
      await page.getByLabel('Reference').fill('Cg 3/26');
      await fold(page, 'Place a legal hold').getByLabel('Reason').fill('A claim about the lock.');
      await page.getByRole('button', { name: 'Place a legal hold' }).click();
      await page.getByText('On legal hold: nothing of it is erased.').waitFor();
      await lookAt(page, 'rights-hold');
      const desk = await sheetOf('front_desk');
      await desk.goto(`/orders/${orderId}`);
      await desk.getByText('On legal hold: nothing of it is erased.').waitFor();
      await desk.getByRole('link', { name: 'Record and rights' }).click();
      await desk.getByText('A claim about the lock.').waitFor();
      await page.locator('summary', { hasText: 'Lift this hold' }).click();
      await page.getByLabel('Why it is lifted').fill('Settled.');
      await page.getByRole('button', { name: 'Lift this hold' }).click();
      await page.getByText('No legal hold is in force.').waitFor();
    });

    test('the desk records what a patient says is wrong; a prosthetist accepts, and corrects by signature', async () => {
      const desk = await sheetOf('front_desk');
      await desk.locator('summary', { hasText: 'Record the request' }).click();
      await desk.getByRole('button', { name: 'Record the request' }).click();
      await desk.locator('[aria-invalid=true]').first().waitFor();
      await desk.getByLabel('Asked on').fill('2026-03-01');
      await desk.getByLabel('What is said to be wrong').fill('I weigh more than that.');
      await desk.getByRole('button', { name: 'Record the request' }).click();
      await desk.getByText('to be decided by').waitFor();

      const page = await sheetOf('prosthetist');
      await page.locator('summary', { hasText: 'Decide' }).click();
      await page.getByRole('radio', { name: 'accepted' }).check();
      await fold(page, 'Decide').getByLabel('Reason').fill('The scale was misread.');
      await page.getByRole('button', { name: 'Decide' }).click();
      await page.getByText('accepted by').waitFor();
      await page.locator('summary', { hasText: 'Correct a record' }).click();
      const record = page.getByLabel('Record', { exact: true });
      const mass = record.locator('option', { hasText: 'Body mass' }).first();
      await mass.waitFor({ state: 'attached' });
      await record.selectOption((await mass.getAttribute('value')) ?? '');
      await page.getByLabel('What is wrong').fill('80 kg');
      await page.getByLabel('What is right').fill('85 kg');
      await page.getByLabel('Why', { exact: true }).fill('The scale was misread.');
      await page.getByRole('button', { name: 'Show what I sign' }).click();
      await page
        .getByLabel('Your password, for this signature')
        .fill(clinic.people.prosthetist.password);
      await lookAt(page, 'rights-correction');
      await page.getByRole('button', { name: 'Sign the correction' }).click();
      await page.getByText('corrected by').waitFor();
      await lookAtOnPhone(page, 'rights-patient-phone');
    });

    test('a copy is asked for with the reason', async () => {
      const desk = await sheetOf('front_desk');
      await desk.getByLabel('Handed to').fill('the patient');
      await desk
        .locator('section', { hasText: 'A copy for the patient' })
        .getByLabel('Reason')
        .fill('Asked at the desk.');
      await desk.getByRole('button', { name: 'Make it ready' }).click();
      await desk.getByText('It is being made ready').waitFor();
    });

    test('an administrator asks for an erasure, a prosthetist confirms it, and it is gone', async () => {
      const page = await sheetOf('administrator');
      await page.locator('summary', { hasText: 'Ask for the erasure' }).click();
      await page.getByRole('checkbox', { name: 'phone' }).check();
      await fold(page, 'Ask for the erasure').getByLabel('Reason').fill('Asked in writing.');
      await page.getByLabel('Legal basis').fill('Consent withdrawn');
      await page.getByRole('button', { name: 'Ask for the erasure' }).click();
      await page.getByText('waits for a second person').waitFor();
      const confirming = await sheetOf('prosthetist');
      const erasing = confirming.locator('section', { hasText: 'Phone, address and notes' });
      await erasing.getByRole('button', { name: 'Show what I sign' }).click();
      await erasing
        .getByLabel('Your password, for this signature')
        .fill(clinic.people.prosthetist.password);
      await lookAt(confirming, 'rights-erasure');
      await erasing.getByRole('button', { name: 'Confirm and erase' }).click();
      await erasing.getByText('carried out').waitFor();
      const [row] = await clinic.store.raw<{ phone: string | null }>(
        'select phone from patient where id = $1',
        [patientId],
      );
      expect(row?.phone).toBeNull();
    });

    test('an auditor reads what falls due, and every hold', async () => {
      const page = await sheetOf('auditor');
      await page.goto('/retention');
      await page.getByText('No record falls due until then.').waitFor();
      await page.getByText('Cg 3/26').waitFor();
      await lookAt(page, 'retention');
      await lookAtOnPhone(page, 'retention-phone');
    });
  },
);
