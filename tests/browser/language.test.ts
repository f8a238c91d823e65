/** German, and other units: an order opened, an operation refused, a joint torqued, and back to English. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
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
import type { TestPerson } from '../support/clinic.ts';
import { Keyboard } from '../support/keyboard.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  doOperation,
  issueHardware,
  makeSocket,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { addPatient } from '../support/orders.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let shop: Shop;
    let browser: Browser;
    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      browser = await launch();
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    const lang = (page: Page): Promise<string> =>
      page.evaluate<string>('document.documentElement.lang');
    const anmelden = async (page: Page, person: TestPerson): Promise<void> => {
      await page.goto('/');
      await page.getByLabel('E-Mail-Adresse').fill(person.email);
      await page.getByLabel('Passwort').fill(person.password);
      await page.getByRole('button', { name: 'Anmelden' }).click();
      await signedIn(page).waitFor({ state: 'attached' });
      expect(await page.locator('header .who').textContent()).toContain('Abmelden');
    };

    test('English does not carry German; the sign-in turns to it by keyboard, and back', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      const fetched: string[] = [];
      page.on('request', (request) => fetched.push(request.url()));
      await page.goto('/');
      await page.getByRole('heading', { name: 'Sign in' }).waitFor();
      expect(await lang(page)).toBe('en');
      expect(fetched.filter((url) => url.includes('/pack-'))).toEqual([]);

      const keyboard = new Keyboard(page);
      await page.getByLabel('E-mail address').fill('somebody@invented.example');
      await keyboard.tabTo(page.getByRole('radio', { name: 'English' }));
      await keyboard.press('ArrowDown');
      await page.getByRole('heading', { name: 'Anmelden' }).waitFor();
      expect(await lang(page)).toBe('de');
      expect(fetched.filter((url) => url.includes('/pack-'))).toHaveLength(1);
      // What was typed stays, and so does the focus.
      expect(await page.getByLabel('E-Mail-Adresse').inputValue()).toBe(
        'somebody@invented.example',
      );
      await keyboard.isAt(page.getByRole('radio', { name: 'Deutsch' }));
      await lookAt(page, 'language-sign-in');

      // What the service refuses is in German.
      await page.getByLabel('Passwort').fill('not this one');
      await page.getByRole('button', { name: 'Anmelden' }).click();
      await page
        .getByRole('alert')
        .filter({ hasText: 'Keine aktive Person hat diese E-Mail-Adresse mit diesem Passwort.' })
        .waitFor();

      // It is kept for the next time.
      await page.reload();
      await page.getByRole('heading', { name: 'Anmelden' }).waitFor();
      await page.getByRole('radio', { name: 'English' }).check();
      await page.getByRole('heading', { name: 'Sign in' }).waitFor();
      await page.reload();
      await page.getByRole('heading', { name: 'Sign in' }).waitFor();
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('the front desk opens an order in German; what is wrong is said in German beside its field', async () => {
      await addPatient(clinic, {
        chartNumber: 'CH-7001',
        givenName: 'Belmira',
        familyName: 'Ostrovarsky',
      });
      const { page, complaints } = await openPage(browser, clinic, 'desk', 'de-AT');
      await anmelden(page, clinic.people.front_desk);
      expect(await lang(page)).toBe('de');
      await page.getByRole('main').getByRole('link', { name: 'Auftrag eröffnen' }).click();
      await page.getByRole('combobox', { name: 'Patient/in' }).fill('ostro');
      await page.getByRole('option', { name: /Ostrovarsky/ }).click();
      await page.getByRole('button', { name: 'Auftrag eröffnen' }).click();
      await page.getByText('Das fehlt.').first().waitFor();
      await lookAt(page, 'language-open-refused');
      for (const choice of ['links', 'transtibial', 'Pin-Lock', 'K3']) {
        await page.getByRole('radio', { name: choice, exact: true }).check();
      }
      await page.getByRole('radio', { name: 'ein anderer Tag' }).check();
      await page.getByLabel('Gewünschter Tag').fill('2026-02-20');
      await page.getByRole('button', { name: 'Auftrag eröffnen' }).click();
      await page
        .locator('.against')
        .filter({ hasText: /Der 20\.02\.2026 liegt vor dem \d\d\.\d\d\.2026\./ })
        .first()
        .waitFor();
      await page.getByLabel('Gewünschter Tag').fill('2026-04-20');
      await page.getByRole('button', { name: 'Auftrag eröffnen' }).click();
      await page.getByRole('heading', { name: /^KL-26-/ }).waitFor();
      await page.getByText('Mo., 20. Apr. 2026').first().waitFor();
      await lookAt(page, 'language-order');
      await lookAtOnPhone(page, 'language-order-phone');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('an operation is refused in German, a joint torqued in lbf·in, and all of it is English again', async () => {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const { id: socketId } = await makeSocket(shop, orderId, {
        kind: 'check',
        sheetThicknessMm: 12,
      });
      for (const kind of ['prepare_model', 'thermoform', 'trim_edges']) {
        await doOperation(shop, socketId, kind);
      }
      const { page, complaints } = await openPage(browser, clinic, 'phone', 'de-CH');
      await anmelden(page, clinic.people.technician);
      await openMenu(page);
      await page.getByRole('link', { name: 'Sprache, Einheiten' }).click();
      await page.getByRole('radio', { name: /lbf·in/ }).check();
      await page.getByRole('radio', { name: /Zoll/ }).check();
      await page.getByRole('radio', { name: /Pound \(lb\)/ }).check();
      await lookAt(page, 'language-settings');

      // The hardware is not in: what is missing is said in German, position by position.
      await page.goto(`/bench/${socketId}`);
      await page
        .getByRole('group', { name: /Does every part seat flat/ })
        .getByText('Ja')
        .click();
      await page.getByRole('button', { name: 'Erledigt' }).click();
      await page
        .getByRole('alert')
        .filter({
          hasText:
            /ist noch nicht möglich: in Schaft \S+ sind leer: Arretierung, Pin, Pyramidenadapter oder Vierlochadapter, distale Schrauben/,
        })
        .waitFor();
      await lookAt(page, 'language-operation-refused');

      await issueHardware(shop, socketId);
      await page.goto(`/bench/${socketId}/joints/distal`);
      await page.getByText('OFFEN: an diesem Schaft nie angezogen').waitFor();
      // The person's unit is the first that is offered; the tool's own is a touch away.
      expect(await page.getByRole('radio', { name: 'lbf·in' }).isChecked()).toBe(true);
      const tool = page.getByLabel('Drehmomentschlüssel');
      await tool.locator('option').nth(1).waitFor({ state: 'attached' });
      await tool.selectOption({ index: 1 });
      await page
        .getByText(/THR-\d+ ·/)
        .first()
        .click();
      await page.getByText(/etwa \d+ lbf·in/).waitFor();
      await page.getByLabel('Was das Werkzeug zeigt (lbf·in)').fill('300,5');
      await page.getByText(/^ÜBER .* lbf·in\. Lösen/).waitFor();
      await lookAt(page, 'language-torque');

      // Back to English, with the work where it was.
      await page.goto('/settings');
      await page.getByRole('radio', { name: 'English' }).check();
      await page.getByRole('heading', { name: 'Language and units' }).waitFor();
      await page.goto(`/bench/${socketId}/joints/distal`);
      await page.getByText('OPEN: never torqued on this socket').waitFor();
      expect(await lang(page)).toBe('en');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a body mass and a limb are shown and typed in pounds and inches, and refused in them', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'desk');
      await page.clock.setFixedTime(clinic.clock.now());
      await signInAs(page, clinic.people.prosthetist);
      await page.goto('/settings');
      await page.getByRole('radio', { name: 'inches (in)' }).check();
      await page.getByRole('radio', { name: 'pounds (lb)' }).check();

      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const onTheLimb = await checkSocketOnTheLimb(shop, orderId);
      const { body: socket } = await clinic
        .as('prosthetist')
        .get(`/api/v1/sockets/${onTheLimb.socketId}`);
      const kg = Number(socket.bodyMassKg);
      await page.goto(`/orders/${String(socket.order.id)}`);
      await page
        .getByText(`${(kg / 0.45359237).toFixed(1)} lb`)
        .first()
        .waitFor();

      // A patient of 200 lb is on record with 90.718474 kg, whatever is shown afterwards.
      await page.goto('/orders/new');
      await page.getByRole('combobox', { name: 'Patient' }).fill('Zyx, Ulla');
      await page.getByRole('option', { name: 'Enter as a new patient' }).click();
      await page.getByLabel('Date of birth').fill('1961-05-06');
      await page.getByLabel('Chart number').fill('CH-7300');
      await page.getByLabel('Body mass, lb').fill('200');
      await page.getByRole('button', { name: 'Enter the patient' }).click();
      await page
        .getByText(/CH-7300/)
        .first()
        .waitFor();
      const { body: found } = await clinic
        .as('prosthetist')
        .post('/api/v1/patients/search', { chartNumber: 'CH-7300' });
      expect(found.items[0].bodyMassKg).toBeCloseTo(90.718474, 6);

      // A measure that no limb has is asked about in inches, before it is sent and by the service.
      await page.goto(`/orders/${String(socket.order.id)}/cast`);
      await page.getByLabel('Length of the limb, in').fill('1.5');
      await page.getByText(/1\.5 in; a trans-tibial limb has [\d.]+ to [\d.]+ in\./).waitFor();
      await lookAt(page, 'language-inches');
      expect(complaints).toEqual([]);
      await page.context().close();
    });
  },
);
