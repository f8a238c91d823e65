/**
 * A front desk's whole day, told in order: a caller, a new patient with a look-alike, an order
 * by keyboard, a fitting booked, moved and missed, the watch list, a hold and its end, the
 * traveller; and bad input in each form on the way.
 */
import type { Browser, Locator, Page } from 'playwright-core';
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
import { steadyPast, wentThrough } from '../support/history.ts';
import { acceptedCast, makeSocket, openedOrder, stockedShop } from '../support/job.ts';
import { Keyboard } from '../support/keyboard.ts';
import { addPatient, openOrder } from '../support/orders.ts';

describe.skipIf(noBrowser !== undefined)(
  `a front desk’s whole day in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let watched: Watched;
    let page: Page;
    let keyboard: Keyboard;
    /** At check fitting, with its socket begun. */
    let underWay: { orderId: string; number: string; chartNumber: string };
    let lateNumber: string;
    /** The order that is opened in the course of the day. */
    let ours: string;
    const shows = (text: string | RegExp) => page.getByText(text).first().waitFor();
    const find = () => page.getByRole('combobox', { name: 'Find a patient or an order' });
    const fitting = (text: string | RegExp): Locator =>
      page.locator('.appointment').filter({ hasText: text });
    const wire = (method: 'get' | 'post', url: string, body?: object) =>
      method === 'get' ? clinic.as('front_desk').get(url) : clinic.as('front_desk').post(url, body);

    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      await wentThrough(clinic, steadyPast(40));
      const shop = await stockedShop(clinic);
      underWay = await openedOrder(shop);
      await acceptedCast(shop, underWay.orderId);
      await makeSocket(shop, underWay.orderId, { kind: 'check', sheetThicknessMm: 12 });
      const { id: patientId } = await addPatient(clinic, {
        chartNumber: 'CH-7000',
        givenName: 'Late',
        familyName: 'Halloumis',
        phone: '+43 1 555 0199',
      });
      lateNumber = (await openOrder(clinic, { patientId, promisedOn: '2026-03-04' })).number;
      await addPatient(clinic, {
        chartNumber: 'CH-7001',
        givenName: 'Belmira',
        familyName: 'Ostrovarsky',
        birthDate: '1951-04-17',
        phone: '+43 1 555 0142',
      });
      // Somebody who was to come this morning.
      await wire('post', '/api/v1/appointments', {
        orderId: underWay.orderId,
        prosthetistId: clinic.people.prosthetist.id,
        purpose: 'check_fitting',
        startsAt: '2026-03-06T08:00:00Z',
      }).expect(201);
      clinic.clock.set('2026-03-06T09:00:00Z');
      watched = await openPage(browser, clinic, 'desk');
      page = watched.page;
      keyboard = new Keyboard(page);
      await signInAs(page, clinic.people.front_desk);
    }, 90_000);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test('the list begins with what presses: late ones, then those at risk, each with its chance', async () => {
      await page.getByRole('table').waitFor();
      const rows = page.getByRole('row');
      expect(await rows.nth(1).textContent()).toContain(lateNumber);
      expect(await rows.nth(1).textContent()).toMatch(/late/);
      // No word of the rail is broken, and the present stage is written.
      await page.getByRole('cell').getByText('casting', { exact: true }).first().waitFor();
      await lookAt(page, 'day-list');
      await page.getByLabel('late ones only').check();
      await page.getByText(underWay.number).waitFor({ state: 'detached' });
      expect(page.url()).toContain('late=true');
      await page.getByLabel('late ones only').uncheck();
      await page.getByLabel('at risk only').check();
      await page.getByText(lateNumber).waitFor({ state: 'detached' });
      expect(page.url()).toContain('atRisk=true');
      await page.getByLabel('at risk only').uncheck();
      await shows(lateNumber);
    });

    test('a caller: the key / finds by name, number and phone; where the limb is, is on one screen', async () => {
      await keyboard.press('/');
      await keyboard.isAt(find());
      await keyboard.type('inventum');
      await page.getByRole('option', { name: new RegExp(`Order ${underWay.number}`) }).waitFor();
      // Patient and order stand in one list, each saying what it is.
      await page.getByRole('option', { name: /^Patient: Inventum/ }).waitFor();
      await lookAt(page, 'day-find');
      await keyboard.press('ArrowDown', 'Enter');
      await page.getByRole('heading', { name: underWay.number }).waitFor();
      // No name stands in an address.
      expect(page.url()).not.toMatch(/inventum/i);
      await shows('Your check socket is being made or changed, to be tried on.');
      await shows(/We expect it to be ready by Thu, 10 Dec 2026/);
      await shows(/Prepare the model · KL-26/);
      await shows('Whom to ask');
      await lookAt(page, 'day-order');
    });

    test('a wrong character of an order number is said while it is typed', async () => {
      // From a page that has no such field, the key opens one.
      await keyboard.press('/');
      await keyboard.isAt(find());
      const wrong = underWay.number.replace(/\d(?=-\w$)/, (digit) =>
        String((Number(digit) + 1) % 10),
      );
      await keyboard.type(wrong);
      await page.locator('dialog .against').waitFor();
      expect(await find().getAttribute('aria-invalid')).toBe('true');
      await lookAt(page, 'day-mistyped');
      await keyboard.press('Escape', 'Escape');
      await find().waitFor({ state: 'hidden' });
      // In a field a stroke is a stroke.
      await page.goto('/orders/new');
      await page.getByLabel('Liner').fill('');
      await page.getByLabel('Liner').pressSequentially('a/b');
      expect(await page.getByLabel('Liner').inputValue()).toBe('a/b');
      await page.getByLabel('Liner').fill('');
    });

    test('a new patient with a look-alike: bad input stays, and stands beside its field', async () => {
      await page.goto('/orders/new');
      const search = page.getByRole('combobox', { name: 'Patient' });
      await search.fill('Ostrovarskaya, Belmira');
      await shows('0 patients found.');
      await search.press('Enter');
      await keyboard.isAt(page.getByLabel('Family name'));
      await page.getByLabel('Date of birth').fill('1951-04-17');
      await shows('born on the same day, with a similar name');
      await page.getByLabel('Phone').fill('ring');
      await page.getByLabel('Body mass, kg').fill('eighty');
      await page.getByRole('button', { name: 'Enter the patient' }).click();
      await keyboard.isAt(page.getByLabel('Phone'));
      await shows('Write a number, as 82.5.');
      expect(await page.getByLabel('Given name').inputValue()).toBe('Belmira');
      await lookAt(page, 'day-patient-refused');
      await page.getByLabel('Phone').fill('+43 1 555 0177');
      await page.getByLabel('Body mass, kg').fill('64');
      await page.getByLabel('Chart number').fill('CH-7003');
      await page.getByLabel('This is somebody else').check();
      await page.getByRole('button', { name: 'Enter the patient' }).click();
      await shows(/Ostrovarskaya, Belmira · CH-7003/);
    });

    test('the order is opened by keyboard alone, in under a minute', async () => {
      await keyboard.isAt(page.getByRole('radio', { name: 'left' }));
      const before = keyboard.keys;
      await keyboard.press('Space');
      for (const group of ['level', 'suspension', 'functionalLevel']) {
        await keyboard.tabTo(page.locator(`[name=${group}]`).first());
        await keyboard.press('Space');
      }
      await keyboard.tabTo(page.getByLabel('Prosthetist'));
      await keyboard.type('Pa');
      await keyboard.tabTo(page.getByRole('button', { name: 'Open the order' }));
      await keyboard.press('Enter');
      await page.getByRole('heading', { name: /^KL-26-/ }).waitFor();
      ours = (await page.getByRole('heading', { level: 1 }).textContent()) ?? '';
      // Card, Moran, Newell 1980: 0.28 s a key for who types now and then, 1.35 s to think before each of 7 fields.
      expect(keyboard.keys - before).toBeLessThan(40);
      expect((keyboard.keys - before) * 0.28 + 7 * 1.35).toBeLessThan(60);
    });

    test('a second order for the same limb is asked about beside its own field, in words', async () => {
      await page.goto('/orders/new');
      await page.getByRole('combobox', { name: 'Patient' }).fill('CH-7003');
      await page.getByRole('option', { name: /Ostrovarskaya/ }).click();
      for (const name of ['left', 'trans-tibial', 'pin lock', 'K0']) {
        await page.getByRole('radio', { name, exact: true }).check();
      }
      await page.getByLabel('Liner').fill('silicone, 30 cm');
      await page.getByRole('button', { name: 'Open the order' }).click();
      await keyboard.isAt(page.getByLabel('A second order for the same limb is meant'));
      await shows(`${ours} is open for the same patient, left trans-tibial.`);
      expect(await page.getByText('anotherOpenOrderIsMeant').count()).toBe(0);
      expect(await page.getByLabel('Liner').inputValue()).toBe('silicone, 30 cm');
      await lookAt(page, 'day-second-order');
    });

    test('from the order’s page a fitting is booked in a few keys', async () => {
      const { body } = await wire('get', `/api/v1/orders/by-number/${ours}`);
      await page.goto(`/orders/${String(body.id)}`);
      await shows('No fitting is booked.');
      await page.getByRole('link', { name: 'Book a fitting' }).focus();
      const before = keyboard.keys;
      await keyboard.press('Enter');
      // The first free time is chosen and has the focus.
      await keyboard.isAt(page.locator('input[name=time]:checked'));
      expect(await page.getByRole('radio', { name: 'casting' }).isChecked()).toBe(true);
      await lookAt(page, 'day-booking');
      await keyboard.press('Enter');
      await page.getByRole('heading', { name: 'Booked' }).waitFor();
      expect(keyboard.keys - before).toBe(2);
      await shows(/Booked: Fri, 6 Mar 2026, 10:00, casting/);
    });

    test('a check fitting too early is booked with its chance told; the past is refused beside its field', async () => {
      await page.getByRole('link', { name: 'To the order' }).click();
      await page.getByRole('link', { name: 'Book a fitting' }).click();
      await page.getByRole('radio', { name: 'check fitting' }).check();
      await shows(/ready in \d+ of 100/);
      await page.getByRole('radio', { name: 'another time' }).check();
      await page.getByLabel('Room').fill('fitting room 2');
      await page.getByRole('button', { name: 'Book it' }).click();
      await keyboard.isAt(page.getByLabel('On', { exact: true }));
      await shows('This is missing.');
      await page.getByLabel('On', { exact: true }).fill('2026-03-05');
      await page.getByLabel('At', { exact: true }).fill('09:00');
      await page.getByRole('button', { name: 'Book it' }).click();
      await shows('5 Mar 2026, 09:00 is past: it is 6 Mar 2026, 10:00.');
      await keyboard.isAt(page.getByLabel('On', { exact: true }));
      expect(await page.getByLabel('Room').inputValue()).toBe('fitting room 2');
      await lookAt(page, 'day-booking-refused');
      // A Saturday is refused, a day too early is only warned of.
      await page.getByLabel('On', { exact: true }).fill('2026-03-07');
      await page.getByRole('button', { name: 'Book it' }).click();
      await shows('By its working calendar the clinic is closed on 7 Mar 2026.');
      await page.getByLabel('On', { exact: true }).fill('2026-03-09');
      await page.getByRole('button', { name: 'Book it' }).click();
      await shows(/the chance that KL-26-\d+-\w is ready for check fitting on 9 Mar 2026 is \d+ %/);
      await lookAt(page, 'day-booked-early');
      // The wall clock of the clinic is one hour before UTC in winter.
      const { body } = await wire('get', '/api/v1/appointments?from=2026-03-09');
      expect(body.items).toMatchObject([
        { startsAt: '2026-03-09T08:00:00.000Z', room: 'fitting room 2' },
      ]);
    });

    test('the book: a ruled day, turned by the arrow keys, a week, and a page to print', async () => {
      await page.getByRole('link', { name: 'To that day in the book' }).click();
      await page.getByRole('heading', { name: 'Fittings, Mon, 9 Mar 2026' }).waitFor();
      await fitting('Ostrovarskaya').waitFor();
      await lookAt(page, 'day-book');
      await keyboard.press('ArrowLeft');
      await page.getByRole('heading', { name: 'Fittings, Sun, 8 Mar 2026' }).waitFor();
      await shows('Closed.');
      await keyboard.press('ArrowRight', 'ArrowRight');
      await page.getByRole('heading', { name: 'Fittings, Tue, 10 Mar 2026' }).waitFor();
      // An empty line of the book leads to a booking at its time.
      await page.getByRole('link', { name: 'Book at 10:30' }).click();
      await keyboard.isAt(find());
      await keyboard.type(lateNumber);
      await page.getByRole('option', { name: new RegExp(lateNumber) }).waitFor();
      await keyboard.press('Enter');
      expect(await page.getByLabel('At', { exact: true }).inputValue()).toBe('10:30');
      expect(await page.getByLabel('On', { exact: true }).inputValue()).toBe('2026-03-10');
      await page.goto('/fittings?day=2026-03-09&view=week');
      await page
        .getByRole('heading', { name: /Fittings, Mon, 9 Mar 2026 – Sun, 15 Mar/ })
        .waitFor();
      await fitting('Ostrovarskaya').waitFor();
      await lookAt(page, 'day-week');
      await page.emulateMedia({ media: 'print' });
      expect(await page.getByRole('button', { name: 'Earlier' }).isVisible()).toBe(false);
      expect(await fitting('Ostrovarskaya').isVisible()).toBe(true);
      await lookAt(page, 'day-week-printed');
      await page.emulateMedia({ media: 'screen' });
    });

    test('on the day the clocks are put on, the page has no line for the hour that is skipped', async () => {
      await page.goto('/fittings?day=2026-03-30');
      await page.getByRole('link', { name: 'Book at 08:00' }).waitFor();
      // Summer time: eight o’clock is six by UTC, not seven as the week before.
      const href = await page.getByRole('link', { name: 'Book at 08:00' }).getAttribute('href');
      expect(href).toContain(encodeURIComponent('2026-03-30T06:00:00.000Z'));
      await page.goto('/fittings?day=2026-03-27');
      const before = page.getByRole('link', { name: 'Book at 08:00' });
      expect(await before.getAttribute('href')).toContain(
        encodeURIComponent('2026-03-27T07:00:00.000Z'),
      );
    });

    test('the patient asks for another day: it is moved, and the book says from where and why', async () => {
      await page.goto('/fittings?day=2026-03-09');
      await fitting('Ostrovarskaya').getByText('Move it').click();
      const moving = fitting('Ostrovarskaya');
      await moving
        .getByRole('radio', { name: /ready in/ })
        .first()
        .check();
      await moving.getByRole('button', { name: 'Move it' }).click();
      await keyboard.isAt(moving.getByLabel('Who asked for it, and why'));
      await shows('This is missing.');
      await moving.getByLabel('Who asked for it, and why').fill('The bus does not run on Monday.');
      await lookAt(page, 'day-moving');
      await moving.getByRole('button', { name: 'Move it' }).click();
      await shows('The bus does not run on Monday.');
      await shows(/moved to/);
      await lookAt(page, 'day-moved');
    });

    test('who was to come at nine did not; the slip is corrected with its reason', async () => {
      await page.goto('/fittings?day=2026-03-06');
      const nine = fitting('Inventum');
      await nine.getByRole('button', { name: 'Did not come' }).click();
      await nine.locator('.state.did_not_come').waitFor();
      await lookAt(page, 'day-missed');
      await nine.getByText('Correct what was said: came').first().click();
      await nine.getByRole('button', { name: 'Correct what was said: came' }).click();
      await keyboard.isAt(nine.getByLabel('Why'));
      await nine.getByLabel('Why').fill('Sat in the other room.');
      await nine.getByRole('button', { name: 'Correct what was said: came' }).click();
      await nine.locator('.state.came').waitFor();
      await nine.getByText('Sat in the other room.').waitFor();
    });

    test('a fitting is called off, with the reason', async () => {
      const { body } = await wire('get', `/api/v1/orders/by-number/${ours}`);
      await page.goto(`/orders/${String(body.id)}`);
      const next = fitting('check fitting').first();
      await next.getByText('Call it off').click();
      await next.getByRole('button', { name: 'Call it off' }).click();
      await keyboard.isAt(next.getByLabel('Why'));
      await next.getByLabel('Why').fill('A cold.');
      await next.getByRole('button', { name: 'Call it off' }).click();
      await page.getByText(/^Earlier fittings/).click();
      await shows('A cold.');
      await lookAt(page, 'day-called-off');
    });

    test('the watch list is called, an order waits and goes on, the traveller is printed', async () => {
      await page.goto('/watch');
      await shows('1 late');
      await page.getByRole('link', { name: lateNumber }).click();
      await shows('It was promised for 4 Mar 2026, 2 working days ago.');
      await shows(/We are sorry; we will call you/);
      await page.getByText('Put on hold').first().click();
      await page.getByRole('button', { name: 'Put on hold' }).click();
      await keyboard.isAt(page.getByRole('radio', { name: 'authorization awaited' }));
      await page.getByRole('radio', { name: 'parts awaited' }).check();
      await page.getByRole('button', { name: 'Put on hold' }).click();
      await shows(/The work waits at the moment: parts awaited/);
      await page.getByRole('button', { name: 'Go on with the work' }).click();
      await page.getByText(/The work waits at the moment/).waitFor({ state: 'detached' });
      const [answer, opened] = await Promise.all([
        page.waitForResponse(/traveller\.pdf/),
        page.context().waitForEvent('page'),
        page.getByRole('button', { name: 'Print the traveller' }).click(),
      ]);
      expect(answer.headers()['content-type']).toBe('application/pdf');
      await opened.close();
    });

    test('on the phone the same pages fit, and the bench finds by numbers only', async () => {
      await page.goto('/');
      await page.getByRole('table').waitFor();
      await lookAtOnPhone(page, 'day-list-phone');
      await page.goto('/fittings?day=2026-03-06');
      await fitting('Inventum').waitFor();
      await lookAtOnPhone(page, 'day-book-phone');
      await page.goto(`/orders/${underWay.orderId}`);
      await shows('To tell the caller');
      await lookAtOnPhone(page, 'day-order-phone');
      const bench = await openPage(browser, clinic, 'phone');
      await signInAs(bench.page, clinic.people.technician);
      const field = bench.page.getByRole('combobox', { name: 'Find a patient or an order' });
      await field.fill('inventum');
      await bench.page.locator('.find .against').waitFor();
      await field.fill(underWay.chartNumber);
      await bench.page.getByRole('option', { name: new RegExp(underWay.number) }).waitFor();
      expect(await bench.page.getByText('Inventum').count()).toBe(0);
      expect([...watched.complaints, ...bench.complaints]).toEqual([]);
    });
  },
);
