/** A front desk's day, on the desk's screen and on a phone. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  noBrowser,
  openMenu,
  openPage,
  signInAs,
  type Watched,
} from '../support/browser.ts';
import { steadyPast, wentThrough } from '../support/history.ts';
import { Keyboard } from '../support/keyboard.ts';
import { acceptedCast, makeSocket, openedOrder, stockedShop } from '../support/job.ts';
import { addPatient, openOrder } from '../support/orders.ts';

const OSTRO = {
  chartNumber: 'CH-7001',
  givenName: 'Belmira',
  familyName: 'Ostrovarsky',
  birthDate: '1951-04-17',
  phone: '+43 1 555 0142',
};

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    beforeAll(async () => {
      browser = await launch();
    });
    afterAll(() => browser.close());

    describe.each(['desk', 'phone'] as const)('a day of the front desk at the %s', (size) => {
      let clinic: TestClinic;
      let watched: Watched;
      let page: Page;
      let keyboard: Keyboard;
      /** At check fitting with a check socket begun. */
      let underWay: { orderId: string; number: string; chartNumber: string };
      let lateNumber: string;
      const shows = (text: string | RegExp) => page.getByText(text).first().waitFor();

      beforeAll(async () => {
        clinic = await testClinic();
        await wentThrough(clinic, steadyPast(40));
        const shop = await stockedShop(clinic);
        underWay = await openedOrder(shop);
        await acceptedCast(shop, underWay.orderId);
        await makeSocket(shop, underWay.orderId, { kind: 'check', sheetThicknessMm: 12 });
        await addPatient(clinic, OSTRO);
        const { id: patientId } = await addPatient(clinic, {
          givenName: 'Late',
          familyName: 'Halloumis',
          phone: '+43 1 555 0199',
        });
        lateNumber = (await openOrder(clinic, { patientId, promisedOn: '2026-03-04' })).number;
        clinic.clock.set('2026-03-06T09:00:00Z');
        watched = await openPage(browser, clinic, size);
        page = watched.page;
        keyboard = new Keyboard(page);
        await signInAs(page, clinic.people.front_desk);
      }, 60_000);
      afterAll(async () => {
        await page.context().close();
        await clinic.close();
      });

      test('the phone rings: an order is opened by keyboard alone, in under a minute', async () => {
        await keyboard.tabTo(page.getByRole('main').getByRole('link', { name: 'Open an order' }));
        await keyboard.press('Enter');
        await keyboard.isAt(page.getByRole('combobox', { name: 'Patient' }));
        await keyboard.type('ostro');
        await page.getByRole('option', { name: /Ostrovarsky, Belmira · CH-7001/ }).waitFor();
        await shows('One patient found.');
        await lookAt(page, `desk-search-${size}`);
        await keyboard.press('Enter');
        await keyboard.isAt(page.getByRole('radio', { name: 'left' }));
        await keyboard.press('ArrowRight');
        for (const group of ['level', 'suspension']) {
          await keyboard.tabTo(page.locator(`[name=${group}]`).first());
          await keyboard.press('Space');
        }
        await keyboard.tabTo(page.locator('[name=functionalLevel]').first());
        await keyboard.press('ArrowRight', 'ArrowRight', 'ArrowRight');
        await keyboard.tabTo(page.getByLabel('Prosthetist'));
        await keyboard.type('Pa');
        await keyboard.tabTo(page.getByLabel('Liner'));
        await keyboard.type('cushion, 28 cm');
        // The first day that has the wanted chance is offered, with its chance.
        const offered = page.getByRole('radio', { name: /kept in \d+ of 100: the first/ });
        await keyboard.tabTo(offered);
        expect(await offered.isChecked()).toBe(true);
        await lookAt(page, `desk-open-${size}`);
        await keyboard.tabTo(page.getByRole('button', { name: 'Open the order' }));
        await keyboard.press('Enter');
        await page.getByRole('heading', { name: /^KL-26-/ }).waitFor();
        // Card, Moran, Newell 1980: 0.28 s a key for a person who types now and then, and
        // 1.35 s to think before each field.
        const fields = 9;
        expect(keyboard.keys * 0.28 + fields * 1.35).toBeLessThan(60);

        const number = (await page.getByRole('heading', { level: 1 }).textContent()) ?? '';
        expect(number).toMatch(/^KL-26-\d{5}-\w$/);
        const { body } = await clinic.as('front_desk').get(`/api/v1/orders/by-number/${number}`);
        expect(body).toMatchObject({
          side: 'right',
          level: 'trans_tibial',
          suspension: 'pin_lock',
          functionalLevel: 'K3',
          liner: 'cushion, 28 cm',
          prosthetist: { id: clinic.people.prosthetist.id },
        });
        expect(body.offeredChance).toBeGreaterThanOrEqual(0.8);
        await shows('right');
        await lookAt(page, `desk-opened-${size}`);
      });

      test('a form error keeps what was typed, stands beside its field and takes the focus', async () => {
        await page.goto('/orders/new');
        await page.getByRole('combobox', { name: 'Patient' }).fill('CH-7001');
        await page.getByRole('option', { name: /Ostrovarsky/ }).click();
        // The order of before is seen before a second one is opened.
        await shows('Under way for this patient:');
        await page.getByLabel('Liner').fill('silicone, 30 cm');
        await page.getByRole('radio', { name: 'another day' }).check();
        await page.getByLabel('Wished day').fill('2026-03-05');
        await shows(/5 Mar 2026 is before 6 Mar 2026/);
        await page.getByRole('button', { name: 'Open the order' }).click();
        await keyboard.isAt(page.getByRole('radio', { name: 'left' }));
        expect(await page.getByText('This is missing.').count()).toBe(4);
        expect(await page.getByLabel('Liner').inputValue()).toBe('silicone, 30 cm');
        await lookAt(page, `desk-refused-${size}`);

        await page.getByLabel('Wished day').fill('2026-04-30');
        await shows(/Thu, 30 Apr 2026, kept in \d+ of 100/);
        await page.getByRole('radio', { name: 'right' }).check();
        await page.getByRole('radio', { name: 'trans-tibial' }).check();
        await page.getByRole('radio', { name: 'pin lock' }).check();
        await page.getByRole('radio', { name: 'K2' }).check();
        await page.getByRole('button', { name: 'Open the order' }).click();
        const another = page.getByLabel('A second order for the same limb is meant');
        await keyboard.isAt(another);
        await another.check();
        await page.getByRole('button', { name: 'Open the order' }).click();
        await shows('silicone, 30 cm');
        await shows('Thu, 30 Apr 2026');
      });

      test('a patient who is in the book already is noticed before being entered again', async () => {
        await page.goto('/orders/new');
        const search = page.getByRole('combobox', { name: 'Patient' });
        await search.fill('Ostrovarski, Belmira');
        await shows('0 patients found.');
        await search.press('Enter');
        await keyboard.isAt(page.getByLabel('Family name'));
        expect(await page.getByLabel('Given name').inputValue()).toBe('Belmira');
        await page.getByLabel('Date of birth').fill('1951-04-17');
        await shows('born on the same day, with a similar name');
        await lookAt(page, `desk-look-alike-${size}`);
        // Sent all the same, nobody is entered twice unseen.
        await page.getByLabel('Chart number').fill('CH-7002');
        await page.getByLabel('Body mass, kg').fill('80,5');
        await page.getByRole('button', { name: 'Enter the patient' }).click();
        await keyboard.isAt(page.getByLabel('This is somebody else'));
        expect(await page.getByLabel('Body mass, kg').inputValue()).toBe('80,5');
        await page.getByRole('button', { name: 'This is the same person' }).press('Enter');
        await shows(/Ostrovarsky, Belmira · CH-7001/);
        await keyboard.isAt(page.getByRole('radio', { name: 'left' }));
      });

      test('somebody else of that name is entered, once that was said', async () => {
        await page.getByRole('button', { name: 'Choose another patient' }).click();
        const search = page.getByRole('combobox', { name: 'Patient' });
        await search.fill('Belmira Ostrovarskaya');
        await shows('0 patients found.');
        await search.press('Enter');
        await page.getByLabel('Date of birth').fill('1951-04-17');
        await page.getByLabel('Chart number').fill('CH-7003');
        await page.getByLabel('Body mass, kg').fill('64');
        await page.getByLabel('This is somebody else').check();
        await page.getByRole('button', { name: 'Enter the patient' }).click();
        await shows(/Ostrovarskaya, Belmira · CH-7003/);
        const { body } = await clinic
          .as('front_desk')
          .post('/api/v1/patients/search', { chartNumber: 'CH-7003' });
        expect(body.items).toMatchObject([{ bodyMassKg: 64, bodyMassMeasuredOn: '2026-03-06' }]);
      });

      test('a caller asks where the limb is: by name to the order, and all of it on one sheet', async () => {
        await page.goto('/');
        await page.getByRole('combobox', { name: /^Find a patient/ }).fill('inventum');
        await page
          .getByRole('option', { name: new RegExp(`^Patient: .*${underWay.chartNumber}`) })
          .click();
        await shows('Orders of');
        // No name stands in an address.
        expect(page.url()).toContain('patient=');
        expect(page.url()).not.toMatch(/inventum/i);
        await page.getByRole('link', { name: underWay.number }).click();
        await shows('check socket');
        await shows(/Now at check fitting since Mon, 2 Mar 2026/);
        await shows('On course for the promised day.');
        await shows('Missing for delivery');
        await shows('Prepare the model');
        await lookAt(page, `desk-order-${size}`);
        await page.getByText('Show what was done, by whom, and the values before').click();
        const changed = page.getByRole('row').filter({ hasText: 'stage changed' }).first();
        await changed.waitFor();
        expect(await changed.textContent()).toMatch(/casting.*check fitting/);
      });

      test('the order waits for the patient, and goes on', async () => {
        await page.getByText('Put on hold').first().click();
        await page.getByRole('button', { name: 'Put on hold' }).click();
        await keyboard.isAt(page.getByRole('radio', { name: 'authorization awaited' }));
        await page.getByRole('radio', { name: 'patient not ready' }).check();
        await page.getByRole('button', { name: 'Put on hold' }).click();
        await shows(/On hold since Fri, 6 Mar 2026, 10:00: patient not ready/);
        await lookAt(page, `desk-held-${size}`);
        await page.getByRole('button', { name: 'Go on with the work' }).click();
        await shows('On course for the promised day.');
      });

      test('another day is agreed, and the day promised first stays known', async () => {
        await page.getByText('Promise another day').first().click();
        await page.getByRole('radio', { name: 'another day' }).check();
        await page.getByLabel('New day').fill('2026-03-01');
        await page.getByRole('button', { name: 'Promise another day' }).click();
        await keyboard.isAt(page.getByLabel('New day'));
        await page.getByLabel('New day').fill('2026-11-20');
        await page.getByRole('button', { name: 'Promise another day' }).click();
        await shows('Fri, 20 Nov 2026');
        await shows('Promised first');
        await shows('Thu, 10 Dec 2026');
      });

      test('the traveller is printed from a page of its own', async () => {
        const [answer, opened] = await Promise.all([
          page.waitForResponse(/traveller\.pdf/),
          page.context().waitForEvent('page'),
          page.getByRole('button', { name: 'Print the traveller' }).click(),
        ]);
        expect(answer.headers()['content-type']).toBe('application/pdf');
        await opened.close();
        const link = page.getByRole('link', { name: 'Open the traveller' });
        expect(await link.getAttribute('href')).toMatch(/^blob:/);
      });

      test('the late ones are called first: the desk sees phone numbers, the bench none', async () => {
        if (size === 'phone') await openMenu(page);
        await page.getByRole('link', { name: 'Late and at risk' }).click();
        await shows('1 late');
        const first = page.getByRole('row').filter({ hasText: lateNumber });
        expect(await first.textContent()).toMatch(/2 working days ago/);
        expect(await page.getByRole('link', { name: '+43 1 555 0199' }).getAttribute('href')).toBe(
          'tel:+4315550199',
        );
        await lookAt(page, `desk-watch-${size}`);
        const bench = await openPage(browser, clinic, size);
        await signInAs(bench.page, clinic.people.technician);
        await bench.page.goto('/watch');
        await bench.page.getByText(lateNumber).waitFor();
        expect(await bench.page.getByText('555 0199').count()).toBe(0);
        expect(await bench.page.getByText('Halloumis').count()).toBe(0);
        await bench.page.context().close();
      });

      test('the list begins with what is under way; it is asked by stage and sorted, and the address keeps it', async () => {
        await page.goto('/');
        await shows(lateNumber);
        expect(await page.getByRole('button', { name: 'More orders' }).count()).toBe(0);
        // Forty delivered ones are a page and more.
        await page.getByLabel('Stage').selectOption('delivered');
        await page.getByText(lateNumber).waitFor({ state: 'detached' });
        await page.getByLabel('Stage').selectOption('every stage');
        await shows('More orders');
        await page.getByLabel('Stage').selectOption('check fitting');
        await shows(underWay.number);
        await page.getByText(lateNumber).waitFor({ state: 'detached' });
        await page.getByLabel('Sorted').selectOption('newest first');
        await page.reload();
        await shows(underWay.number);
        expect(page.url()).toMatch(/stage=check_fitting&sort=opened/);
        await page.getByLabel('on hold only').check();
        await shows('No order fits.');
        await lookAt(page, `desk-list-${size}`);
        expect(watched.complaints).toEqual([]);
      });
    });
  },
);
