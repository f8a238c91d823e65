/** Second factor and bench lock in real Chromium; the codes are another program's than the service's. */
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { Browser } from 'playwright-core';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { codeAt } from '../support/authenticator.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openMenu,
  openPage,
  signedIn,
  signInAs,
} from '../support/browser.ts';
import { askSecondFactorOf, takeOn } from '../support/factors.ts';

/** A day's scenario on a machine that does other things as well. */
const LONG_MS = 240_000;

describe.skipIf(noBrowser !== undefined)('second factor and bench lock', () => {
  let clinic: TestClinic;
  let browser: Browser;
  beforeAll(async () => {
    // The browser's own clock judges which PINs are over.
    clinic = await testClinic({ at: new Date().toISOString() });
    browser = await launch();
  });
  afterEach(() => askSecondFactorOf(clinic, 'nobody'));
  afterAll(async () => {
    await browser.close();
    await clinic.close();
  });

  test(
    'who must adds it before anything else, prints the codes, and signs in by two steps',
    async () => {
      await askSecondFactorOf(clinic, 'everybody');
      const vera = await takeOn(clinic, 'prosthetist');
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      await page.goto('/');
      await page.getByLabel('E-mail address').fill(vera.email);
      await page.getByLabel('Password').fill(PASSWORD);
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page
        .getByRole('heading', { name: 'Your clinic asks you for a second factor' })
        .waitFor();
      await lookAtOnPhone(page, 'second-factor-required');
      await page.getByLabel('Your password').fill(PASSWORD);
      await page.getByRole('button', { name: 'Add a second factor' }).click();
      const secret = (await page.locator('code.secret').innerText()).replaceAll(' ', '');
      await page.getByRole('img', { name: /QR code/ }).waitFor();
      await lookAt(page, 'second-factor-secret');
      await lookAtOnPhone(page, 'second-factor-secret-phone');
      await page.getByLabel('Code of the app').fill('000000');
      await page.getByRole('button', { name: 'Confirm' }).click();
      await page.getByText('This code does not count').first().waitFor();
      await page.getByLabel('Code of the app').fill(codeAt(secret, clinic.clock.now()));
      await page.getByRole('button', { name: 'Confirm' }).click();
      await page.getByRole('heading', { name: 'Recovery codes' }).waitFor();
      const codes = await page.locator('.recovery-codes code').allInnerTexts();
      expect(codes).toHaveLength(10);
      await lookAtOnPhone(page, 'recovery-codes');
      await page.emulateMedia({ media: 'print' });
      await page.getByText(codes[9] ?? '').waitFor();
      expect(await page.getByRole('button', { name: 'I have kept them' }).isVisible()).toBe(false);
      await page.emulateMedia({ media: 'screen' });
      await page.getByRole('button', { name: 'I have kept them' }).click();
      await page.getByRole('link', { name: 'Fittings' }).waitFor();
      // Once more from the beginning, in two steps.
      await openMenu(page);
      await page.getByRole('button', { name: 'Sign out' }).click();
      await page.getByLabel('E-mail address').fill(vera.email);
      await page.getByLabel('Password').fill(PASSWORD);
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByRole('heading', { name: 'Second step' }).waitFor();
      await lookAtOnPhone(page, 'second-step');
      await page.getByLabel('Code of your authenticator app').fill('000000');
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByText('This code does not count').waitFor();
      clinic.clock.pass(1);
      await page
        .getByLabel('Code of your authenticator app')
        .fill(codeAt(secret, clinic.clock.now()));
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await signedIn(page).waitFor({ state: 'attached' });
      await page.goto('/password');
      await page.getByText('Recovery codes left: 10.').waitFor();
      await lookAtOnPhone(page, 'second-factor-own');
      await page.getByRole('button', { name: 'Turn it off' }).click();
      await lookAt(page, 'second-factor-off');
      expect(complaints).toEqual([]);
    },
    LONG_MS,
  );

  test(
    'a bench phone is locked, and unlocked by PIN, at 360 px',
    async () => {
      const { page, complaints } = await openPage(browser, clinic, 'phone');
      await signInAs(page, clinic.people.technician);
      await page.goto('/bench');
      await page.getByText('PIN of this device').click();
      await page.getByLabel('PIN, six figures').fill('123456');
      await page.getByRole('button', { name: 'Set a PIN' }).click();
      await page.getByText('among the first to be guessed').first().waitFor();
      await page.getByLabel('PIN, six figures').fill('739152');
      await page.getByRole('button', { name: 'Set a PIN' }).click();
      await page.getByText('Your PIN on this device is good until').waitFor();
      await lookAt(page, 'bench-pin');
      await page
        .getByLabel(/number|code/i)
        .first()
        .fill('KL-26-0');
      await openMenu(page);
      await page.getByRole('button', { name: 'Lock' }).click();
      await page.getByRole('heading', { name: 'The bench is locked' }).waitFor();
      await lookAt(page, 'bench-locked');
      // Nothing that signs in is left on the phone, and what was typed is behind the lock.
      expect(await page.evaluate<number>('sessionStorage.length')).toBeLessThanOrEqual(1);
      expect(
        await page.evaluate<string | null>("sessionStorage.getItem('castbook.refresh')"),
      ).toBeNull();
      await page.getByRole('textbox', { name: 'PIN', exact: true }).fill('960473');
      await page.getByRole('button', { name: 'Unlock' }).click();
      await page.getByText('Tries left: 4.').waitFor();
      await page.getByRole('textbox', { name: 'PIN', exact: true }).fill('739152');
      await page.getByRole('button', { name: 'Unlock' }).click();
      await page.getByText('You have unlocked this device by PIN.').waitFor({ state: 'attached' });
      expect(await page.locator('input').first().inputValue()).toBe('KL-26-0');
      await openMenu(page);
      const pages = await page.locator('header nav a').allInnerTexts();
      expect(pages).toEqual(['Bench']);
      // A reload under the lock stays locked; without a network nothing is tried here.
      await page.getByRole('button', { name: 'Lock' }).click();
      await page.reload();
      await page.getByRole('heading', { name: 'The bench is locked' }).waitFor();
      await page.context().setOffline(true);
      await page.getByRole('textbox', { name: 'PIN', exact: true }).fill('739152');
      await page.getByRole('button', { name: 'Unlock' }).click();
      await page.getByText('A PIN is checked by the service alone').first().waitFor();
      await lookAt(page, 'bench-locked-offline');
      await page.context().setOffline(false);
      await page.getByRole('textbox', { name: 'PIN', exact: true }).fill('739152');
      await page.getByRole('button', { name: 'Unlock' }).click();
      await page.getByRole('heading', { name: 'Bench' }).waitFor();
      expect(complaints).toEqual([]);
    },
    LONG_MS,
  );

  test(
    'nobody touches it: it locks by itself, and another person signs in with a page of their own',
    async () => {
      const { page, complaints } = await openPage(browser, clinic, 'phone');
      await page.clock.install();
      await signInAs(page, clinic.people.technician);
      await page.goto('/bench');
      await page.getByText('PIN of this device').click();
      await page.getByLabel('PIN, six figures').fill('739152');
      await page.getByRole('button', { name: 'Set a PIN' }).click();
      await page.getByText('Your PIN on this device is good until').waitFor();
      await page.clock.runFor('09:40');
      expect(await page.getByRole('heading', { name: 'The bench is locked' }).count()).toBe(0);
      await page.clock.runFor('00:40');
      await page.getByRole('heading', { name: 'The bench is locked' }).waitFor();
      await page.getByRole('button', { name: 'Sign in with password' }).click();
      await page.getByLabel('E-mail address').fill(clinic.people.prosthetist.email);
      await page.getByLabel('Password').fill(PASSWORD);
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByText('PIN of this device').click();
      await page.getByRole('button', { name: 'Set a PIN' }).waitFor();
      expect(await page.getByText('You have unlocked this device by PIN.').count()).toBe(0);
      expect(complaints).toEqual([]);
    },
    LONG_MS,
  );
});
