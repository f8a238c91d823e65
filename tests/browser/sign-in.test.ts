/** Signing in, and what the list of orders shows to whom. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { launch, lookAt, noBrowser, openPage, signedIn, signInAs } from '../support/browser.ts';
import { openedOrder, stockedShop } from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    beforeAll(async () => {
      clinic = await testClinic();
      await openedOrder(await stockedShop(clinic));
      browser = await launch();
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test.each(['desk', 'phone'] as const)(
      'the front desk signs in at the %s and sees the orders by name',
      async (size) => {
        const { page, complaints } = await openPage(browser, clinic, size);
        await page.goto('/');
        await lookAt(page, `sign-in-${size}`);
        await signInAs(page, clinic.people.front_desk);
        await page
          .getByText(/KL-26-0000\d-\w/)
          .first()
          .waitFor();
        await expect(
          page
            .getByText(/Inventum/)
            .first()
            .isVisible(),
        ).resolves.toBe(true);
        await lookAt(page, `orders-${size}`);
        expect(complaints).toEqual([]);
        await page.context().close();
      },
    );

    test('a reload keeps the sign-in; a wrong password is told in words', async () => {
      const { page } = await openPage(browser, clinic, 'desk');
      await page.goto('/');
      await page.getByLabel('E-mail address').fill(clinic.people.technician.email);
      await page.getByLabel('Password').fill('not this one');
      await page.getByRole('button', { name: 'Sign in' }).click();
      await page.getByRole('alert').waitFor();
      expect(await page.getByLabel('E-mail address').inputValue()).toBe(
        clinic.people.technician.email,
      );
      await signInAs(page, clinic.people.technician);
      await page.reload();
      await signedIn(page).waitFor({ state: 'attached' });
      // The bench sees chart number and initials, no name.
      await page
        .getByText(/CH-0\d+/)
        .first()
        .waitFor();
      expect(await page.getByText(/Inventum/).count()).toBe(0);
      await page.context().close();
    });
  },
);
