/** A delivery that was signed, read back in real Chromium, and what is otherwise since. */
import type { Browser } from 'playwright-core';
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
import { deliveredLimb, ok, stockedShop } from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    beforeAll(async () => {
      clinic = await testClinic();
      browser = await launch();
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test('an auditor reads what was signed, and that the wearer weighs more since', async () => {
      const { orderId, patientId } = await deliveredLimb(await stockedShop(clinic));
      await ok(
        clinic.as('front_desk').post(`/api/v1/patients/${patientId}/body-masses`, {
          massKg: 84,
          measuredOn: '2026-03-02',
        }),
      );
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      await signInAs(page, clinic.people.auditor);
      await page.goto(`${clinic.address}/orders/${orderId}`);
      const release = page.getByRole('row', { name: /I release this limb and hand it over/ });
      await expect
        .poll(() => release.textContent())
        .toContain('of an earlier state: one thing is otherwise');
      await lookAt(page, 'signatures-order-desk');
      await release.getByRole('link').click();
      const since = page.getByRole('row', { name: /Body mass/ });
      await expect.poll(() => since.textContent()).toContain('82 kg');
      expect(await since.textContent()).toContain('84 kg');
      expect(await page.getByText('Received by').count()).toBe(1);
      await lookAt(page, 'signature-desk');
      await lookAtOnPhone(page, 'signature-phone');
      expect(complaints).toEqual([]);
    });
  },
);
