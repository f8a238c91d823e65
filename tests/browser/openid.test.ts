/** From the organisation's button to the list of orders, at a real provider; and what is set up for it. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outwardBy } from '../../src/access/openidFetch.ts';
import { PASSWORD, testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openPage,
  signedIn,
  signInAs,
} from '../support/browser.ts';
import { freeAddress } from '../support/openid.ts';
import { CLIENT, openIdProvider, type TestProvider } from '../support/openidProvider.ts';
import { openedOrder, stockedShop } from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    const outward = outwardBy({ allowedHosts: [], loopbackHttp: true });
    let clinic: TestClinic;
    let browser: Browser;
    let provider: TestProvider;

    beforeAll(async () => {
      // The provider sends back to where the service listens, which must be known before it does.
      const { port, publicUrl } = await freeAddress();
      provider = await openIdProvider(`${publicUrl}/sign-in/openid`);
      clinic = await testClinic({ at: new Date().toISOString(), outward, publicUrl, port });
      await openedOrder(await stockedShop(clinic));
      browser = await launch();
    }, 240_000);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
      await outward.close();
      await provider.close();
    });

    /** Signs in at the pages of the provider, which are not ours. */
    const signInThere = async (page: Page, account: string): Promise<void> => {
      await page.locator('input[name="login"]').fill(account);
      await page.locator('input[name="password"]').fill('any');
      await page.locator('button[type="submit"]').click();
      // Consent is asked once for each account.
      const consent = page.locator('input[name="prompt"][value="consent"]');
      const here = page.waitForURL((url) => url.origin === clinic.address);
      await Promise.race([here, consent.waitFor({ state: 'attached' })]);
      if (new URL(page.url()).origin !== clinic.address) {
        await page.locator('button[type="submit"]').click();
        await here;
      }
    };
    /** The provider's own pages ask for a font of theirs. */
    const someoneElses = (complaint: string) =>
      [provider.issuer, 'https://fonts.googleapis.com/'].some((theirs) =>
        complaint.includes(theirs),
      );

    test('an administrator enters the provider, tries it, and is told what is wrong', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      await signInAs(page, clinic.people.administrator);
      await page.goto('/setup/organisation');
      await page.getByLabel('Issuer').fill(`${provider.issuer}/nothing`);
      await page.getByRole('button', { name: 'Try it' }).click();
      await page.getByRole('alert').getByText('it does not answer as it should').waitFor();
      await page.getByLabel('Issuer').fill(provider.issuer);
      await page.getByRole('button', { name: 'Try it' }).click();
      await page.getByText('The provider answers').waitFor();
      await page.getByLabel('Client id').fill(CLIENT.id);
      await page.getByLabel('Name of the button').fill('Sign in with the hospital');
      await page.getByRole('button', { name: 'Save' }).click();
      await page.getByText('one that is kept is not sent to another').first().waitFor();
      await page.getByLabel('Client secret').fill(CLIENT.secret);
      await page.getByRole('button', { name: 'Save' }).click();
      await page.getByText('The organisation’s sign-in is saved.').waitFor();
      await page.getByText(`${clinic.address}/sign-in/kl`).waitFor();
      await lookAt(page, 'openid-set-up');
      await lookAtOnPhone(page, 'openid-set-up-phone');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a technician links the account from the page of the own password', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      provider.accounts.set('tamas', { email: 'tamas@hospital.example', verified: true });
      await signInAs(page, clinic.people.technician);
      await page.goto('/password');
      await page
        .getByRole('heading', { name: 'Account of the organisation' })
        .scrollIntoViewIfNeeded();
      await lookAt(page, 'openid-own');
      const own = page.locator('section', { hasText: 'Account of the organisation' });
      await own.getByLabel('Present password').fill(clinic.people.technician.password);
      await own.getByRole('button', { name: 'Link an account' }).click();
      await signInThere(page, 'tamas');
      await page.getByText('The account is linked.').waitFor();
      expect(page.url()).toBe(`${clinic.address}/sign-in/openid`);
      await lookAt(page, 'openid-linked');
      expect(complaints.filter((each) => !someoneElses(each))).toEqual([]);
      await page.context().close();
    });

    test('from then on the button leads to the orders', async () => {
      const fresh = await openPage(browser, clinic, 'phone');
      await fresh.page.goto('/sign-in/kl');
      await fresh.page.getByRole('button', { name: 'Sign in with the hospital' }).waitFor();
      await lookAt(fresh.page, 'openid-button-phone');
      await fresh.page.getByRole('button', { name: 'Sign in with the hospital' }).click();
      await signInThere(fresh.page, 'tamas');
      await signedIn(fresh.page).waitFor({ state: 'attached' });
      await fresh.page
        .getByText(/KL-\d\d-0000\d-\w/)
        .first()
        .waitFor();
      // Nothing of the way back stays in the address or in the tab's history.
      expect(fresh.page.url()).toBe(`${clinic.address}/`);
      const kept = await fresh.page.evaluate<string>('JSON.stringify(sessionStorage)');
      expect(kept).not.toContain('castbook.openid');
      // As a tab that was closed.
      await fresh.page.evaluate('sessionStorage.clear()');
      await fresh.page.goBack().catch(() => null);
      expect(fresh.page.url()).not.toContain('code=');
      // The next time the bare address has the button too.
      await fresh.page.goto('/');
      await fresh.page.getByRole('button', { name: 'Sign in with the hospital' }).waitFor();
      expect(fresh.complaints.filter((each) => !someoneElses(each))).toEqual([]);
      await fresh.page.context().close();
    });

    test('an account that is nobody’s is told so in words; German too', async () => {
      const { page } = await openPage(browser, clinic, 'desk', 'de-DE');
      await page.goto('/sign-in/kl');
      await page.getByRole('button', { name: 'Sign in with the hospital' }).click();
      await signInThere(page, 'a-stranger');
      await page.getByRole('alert').getByText('Keine aktive Person dieser Werkstatt').waitFor();
      await lookAt(page, 'openid-refused-german');
      await page.getByRole('link', { name: 'Zur Anmeldung' }).click();
      await page.getByLabel('E-Mail-Adresse').waitFor();
      // An old address of return is worth nothing.
      await page.goto('/sign-in/openid?code=x&state=y');
      await page.getByText('gehört zu einer anderen Seite').waitFor();
      await page.context().close();
    });

    test('an administrator sees the link on the person’s page and invites another', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      await signInAs(page, clinic.people.administrator);
      const pageOf = ({ id }: TestPerson) => page.goto(`/setup/people/${id}`);
      await pageOf(clinic.people.technician);
      await page.getByText('An account of the organisation is linked since').waitFor();
      await pageOf(clinic.people.auditor);
      const invite = page.getByRole('button', { name: 'Have this person sign in' });
      await page.locator('section', { has: invite }).getByLabel('Your password').fill(PASSWORD);
      await invite.click();
      await page.getByText('Invited until').waitFor();
      await lookAt(page, 'openid-invited');
      expect(complaints).toEqual([]);
      await page.context().close();
    });
  },
);
