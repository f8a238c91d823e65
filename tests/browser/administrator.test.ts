/** An administrator's day at the set-up: people, catalogue, routes, rules, calendar, and two who change one thing at once. */
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { PASSWORD, takeOn, testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openMenu,
  openPage,
  signInAs,
  type Watched,
} from '../support/browser.ts';
import { acceptedCast, makeSocket, openedOrder, stockedShop, type Shop } from '../support/job.ts';
import { Keyboard } from '../support/keyboard.ts';
import { ok } from '../support/shop.ts';

const FIRST_PASSWORD = 'stockinette over braid';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let shop: Shop;
    let watched: Watched;
    let page: Page;
    let keyboard: Keyboard;

    const shows = (text: string | RegExp) => page.getByText(text).first().waitFor();
    const field = (label: string | RegExp) => page.getByLabel(label, { exact: true });
    const press = (name: string | RegExp) =>
      page.getByRole('button', { name, exact: typeof name === 'string' }).click();
    const read = <T>(url: string) => ok<T>(clinic.as('administrator').get(url));
    /** What was refused has the focus, and says why beside it. */
    const isToldAt = async (thing: Locator, why: string | RegExp): Promise<void> => {
      await keyboard.isAt(thing);
      const beside = page.locator(`[id="${(await thing.getAttribute('aria-describedby')) ?? ''}"]`);
      await expect.poll(() => beside.textContent()).toMatch(why);
    };

    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      watched = await openPage(browser, clinic, 'desk');
      page = watched.page;
      keyboard = new Keyboard(page);
      await signInAs(page, clinic.people.administrator);
    }, 60_000);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test('one name in the head leads to all that is kept; nobody else has it', async () => {
      await page.getByRole('link', { name: 'Set-up' }).click();
      await page.getByRole('heading', { name: 'Set-up' }).waitFor();
      for (const entry of ['People and roles', 'Parts', 'Routes of work', 'Working calendar']) {
        await page.getByRole('link', { name: entry, exact: true }).waitFor();
      }
      await lookAt(page, 'admin-setup');
      await lookAtOnPhone(page, 'admin-setup-phone');
      const desk = await openPage(browser, clinic, 'desk');
      await signInAs(desk.page, clinic.people.front_desk);
      expect(await desk.page.getByRole('link', { name: 'Set-up' }).count()).toBe(0);
      await desk.page.goto('/setup/people');
      await desk.page.getByRole('alert').first().waitFor();
      await desk.page.context().close();
    });

    test('a technician is taken on, and signs in', async () => {
      await page.getByRole('link', { name: 'People and roles' }).click();
      await field('Printed name').fill('Ilse Gips');
      await field('E-mail address').fill('not an address');
      await page.getByRole('checkbox', { name: 'technician' }).check();
      await press('Take somebody on');
      await isToldAt(field('E-mail address'), /e-?mail/i);
      await field('E-mail address').fill('ilse.gips@kl.example');
      await field('Your password').fill('not the password at all');
      await press('Take somebody on');
      await isToldAt(field('Your password'), /own password/);
      await field('Your password').fill(PASSWORD);
      await press('Take somebody on');
      await shows('Ilse Gips is in the book. Roles: technician.');
      const slip = page.getByRole('region', { name: 'One-time code for Ilse Gips' });
      const code = (await slip.locator('code').textContent()) ?? '';
      expect(code).toMatch(/^(?:[0-9A-Z]{4}-){3}[0-9A-Z]{4}$/);
      await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
      await press('Copy');
      await shows('Copied.');
      expect(await page.evaluate('navigator.clipboard.readText()')).toBe(code);
      await lookAt(page, 'admin-people-code');
      await lookAtOnPhone(page, 'admin-people-code-phone');
      await press('It is handed over');
      expect(await page.getByText(code).count()).toBe(0);
      await lookAt(page, 'admin-people');
      await lookAtOnPhone(page, 'admin-people-phone');

      const hers = await openPage(browser, clinic, 'phone');
      await hers.page.goto('/');
      await hers.page.getByRole('button', { name: 'I have a code' }).click();
      await lookAt(hers.page, 'sign-in-code-phone');
      await hers.page.getByLabel('E-mail address').fill('ilse.gips@kl.example');
      await hers.page.getByLabel('One-time code').fill(code.toLowerCase().replaceAll('-', ' '));
      await hers.page.getByLabel('New password').fill('Ilse Gips Ilse Gips');
      await hers.page.getByRole('button', { name: 'Set the password and sign in' }).click();
      await hers.page.getByText(/among the first to be guessed/).waitFor();
      await hers.page.getByLabel('New password').fill(FIRST_PASSWORD);
      await hers.page.getByRole('button', { name: 'Set the password and sign in' }).click();
      await openMenu(hers.page);
      await hers.page.getByRole('link', { name: 'Bench', exact: true }).waitFor();
      // She changes it once more, with the present one only.
      await hers.page.getByRole('link', { name: 'Your password' }).click();
      await hers.page.getByLabel('Present password').fill('a guess of somebody');
      await hers.page.getByLabel('New password').fill('plaster sets in minutes');
      await hers.page.getByRole('button', { name: 'Change it' }).click();
      await hers.page
        .getByText('This is done only with your own password, as it is at present.')
        .first()
        .waitFor();
      await new Keyboard(hers.page).isAt(hers.page.getByLabel('Present password'));
      await hers.page.getByLabel('Present password').fill(FIRST_PASSWORD);
      await hers.page.getByRole('button', { name: 'Change it' }).click();
      await hers.page.getByText('Your password is changed.').waitFor();
      await lookAt(hers.page, 'own-password-phone');

      // She sees where she is signed in, and ends the other one from here.
      const bench = await openPage(browser, clinic, 'desk');
      await signInAs(bench.page, {
        ...clinic.people.technician,
        email: 'ilse.gips@kl.example',
        password: 'plaster sets in minutes',
      });
      await hers.page.reload();
      await hers.page.getByText('this one').waitFor();
      await hers.page.getByRole('button', { name: /^Sign out there: Computer/ }).click();
      await hers.page.getByText('That device is signed out.').waitFor();
      await bench.page.getByText(/Your sign-in has ended/).waitFor();
      await bench.page.context().close();
      await hers.page.context().close();
    });

    test('a forgotten password: a code for the next, and all sign-ins end', async () => {
      const lost = await openPage(browser, clinic, 'phone');
      await signInAs(lost.page, {
        ...clinic.people.technician,
        email: 'ilse.gips@kl.example',
        password: 'plaster sets in minutes',
      });
      await page
        .getByRole('main')
        .getByRole('link', { name: /Ilse Gips/ })
        .click();
      await shows('has a password');
      await page
        .getByRole('button', { name: /^Sign out there: Computer/ })
        .first()
        .waitFor();
      await lookAt(page, 'admin-person-sessions');
      await lookAtOnPhone(page, 'admin-person-sessions-phone');
      await page.getByLabel('Your password').first().fill(PASSWORD);
      await press('Give a one-time code');
      const slip = page.getByRole('region', { name: 'One-time code for Ilse Gips' });
      await slip.locator('code').waitFor();
      await shows(/has no password yet; the one-time code works until/);
      await lost.page.getByText(/Your sign-in has ended/).waitFor();
      await lost.page.context().close();
      await press('It is handed over');
      await page.getByRole('link', { name: 'People and roles' }).first().click();
    });

    test('nobody locks themselves out, and help is one key away', async () => {
      await page
        .getByRole('main')
        .getByRole('link', { name: /Ada Keys/ })
        .click();
      await shows('This is you.');
      const help = page.getByRole('button', { name: 'Help: Works here and may sign in' });
      await keyboard.tabTo(help, 25);
      expect(await help.getAttribute('aria-expanded')).toBe('false');
      await keyboard.press('Enter');
      await shows(/they are signed out everywhere at once/);
      expect(await help.getAttribute('aria-expanded')).toBe('true');
      await lookAt(page, 'admin-person-help');
      await field('Works here and may sign in').uncheck();
      await press('Save the changes');
      await shows('This would leave the clinic without an active administrator.');
      expect(await field('Works here and may sign in').isChecked()).toBe(false);
      expect(
        (await read<{ active: boolean }>(`/api/v1/people/${clinic.people.administrator.id}`))
          .active,
      ).toBe(true);
    });

    test('a lock is entered: without what it bears it is not', async () => {
      await page.goto('/setup/parts');
      await page.getByRole('link', { name: 'Enter a part' }).click();
      await field('Kind').selectOption('lock');
      await field('Catalogue number').fill('INV-L-77');
      await field('Name').fill('Shuttle lock, short');
      await field('Hole pattern').fill('4-hole 36 mm');
      await field('Least clicks of a lock check').fill('three');
      await press('Enter a part');
      await isToldAt(field('Least clicks of a lock check'), 'This is no number.');
      await field('Least clicks of a lock check').fill('3');
      await press('Enter a part');
      await isToldAt(field('Rated body mass, kg'), /is a lock without a rated body mass/);
      expect(await field('Hole pattern').inputValue()).toBe('4-hole 36 mm');
      await lookAt(page, 'admin-part-refused');
      await lookAtOnPhone(page, 'admin-part-phone');
      await field('Rated body mass, kg').fill('112,5');
      await field('Where the rating stands').fill('Invented sheet 12, rev. B');
      await press('Enter a part');
      await page.getByRole('heading', { name: 'Shuttle lock, short' }).waitFor();
      await shows(/torqued by the setting of the part that the maker’s document is about/);
      const { items } = await read<{ items: object[] }>('/api/v1/parts?kind=lock');
      expect(items).toContainEqual(
        expect.objectContaining({
          catalogueNumber: 'INV-L-77',
          ratedBodyMassKg: 112.5,
          leastClicks: 3,
        }),
      );
    });

    test('its plate has a torque setting with its document: pound-inches typed as N·m are questioned before they are saved', async () => {
      await page.goto('/setup/parts/new');
      await field('Kind').selectOption('lock_plate');
      await field('Catalogue number').fill('INV-P-77');
      await field('Name').fill('Lock plate, short');
      await field('Rated body mass, kg').fill('112.5');
      await press('Enter a part');
      await shows('No setting is on record: joints that hang on this part cannot be torqued.');
      await page.getByText('Enter a new setting').click();
      await field('Unit of the document').selectOption('N·m');
      await field('Least torque').fill('40');
      await field('Greatest torque').fill('45');
      await field('Number of screws').fill('4');
      await field('Size').selectOption('M5');
      await field('Property class').selectOption('8.8');
      await field('Threadlocker').selectOption('with threadlocker');
      // R5, before anything is sent. By hand, F = T/(K·d): 45/(0.2 × 0.005) = 45,000 N.
      await shows(/Each screw would clamp with about 45000 to 60000 N/);
      await shows(/Typed pound-inches as N·m\? In lbf·in the setting ends at 5\.0843 N·m/);
      await lookAt(page, 'admin-setting-questioned');
      await press('Save the setting');
      await isToldAt(field('Document'), 'This is missing.');
      await field('Document').fill('Invented instruction 31');
      await field('Revision').fill('C');
      await press('Save the setting');
      await page
        .getByRole('alert')
        .getByText(/Typed pound-inches as N·m\?/)
        .waitFor();
      expect(await field('Greatest torque').inputValue()).toBe('45');
      await field('Unit of the document').selectOption('lbf·in');
      await press('Save the setting');
      await shows(/The setting is in force/);
      await shows('lock plate: 4.52 to 5.08 N·m');
      await shows('Invented instruction 31, revision C');
      await lookAt(page, 'admin-setting-saved');

      // A new one takes its place; the one before is kept.
      await field('Joint').selectOption('lock plate');
      await field('Document').fill('Invented instruction 31');
      await field('Revision').fill('D');
      await field('Unit of the document').selectOption('N·m');
      await field('Least torque').fill('4');
      await field('Greatest torque').fill('4.6');
      await field('Number of screws').fill('4');
      await field('Size').selectOption('M5');
      await field('Property class').selectOption('8.8');
      await field('Threadlocker').selectOption('with threadlocker');
      await press('Save the setting');
      await shows('lock plate: 4 to 4.6 N·m');
      await shows(/Superseded\. In force from/);
      await lookAtOnPhone(page, 'admin-setting-phone');
    });

    test('two administrators change one part: the second is told, beside what she typed', async () => {
      const second = await takeOn(clinic, {
        email: 'second@kl.example',
        printedName: 'Bea Second',
        roles: ['administrator'],
      });
      const address = page.url();
      const hers = await openPage(browser, clinic, 'desk');
      await signInAs(hers.page, second);
      await hers.page.goto(address);
      const rated = hers.page.getByLabel('Rated body mass, kg', { exact: true });
      await rated.fill('120');
      await hers.page.getByLabel('Thread', { exact: true }).fill('M4');

      await field('Rated body mass, kg').fill('100');
      await field('Hole pattern').fill('4-hole 30 mm');
      await press('Save the changes');
      await shows('Saved: Hole pattern, Rated body mass, kg.');

      await hers.page.getByRole('button', { name: 'Save the changes' }).click();
      await hers.page.getByText('Somebody else changed this while you were typing.').waitFor();
      await hers.page.getByText('Rated body mass, kg: it was 112.5, and is 100 now.').waitFor();
      await hers.page.getByText('In the book by now: 100. Yours is not saved yet.').waitFor();
      await new Keyboard(hers.page).isAt(rated);
      expect(await rated.inputValue()).toBe('120');
      expect(await hers.page.getByLabel('Thread', { exact: true }).inputValue()).toBe('M4');
      // What she did not touch is the other's.
      expect(await hers.page.getByLabel('Hole pattern', { exact: true }).inputValue()).toBe(
        '4-hole 30 mm',
      );
      await lookAt(hers.page, 'admin-race');
      await lookAtOnPhone(hers.page, 'admin-race-phone');
      const partId = address.split('/').at(-1) ?? '';
      expect(await read(`/api/v1/parts/${partId}`)).toMatchObject({
        ratedBodyMassKg: 100,
        thread: null,
      });
      await hers.page.getByRole('button', { name: 'Save the changes' }).click();
      await hers.page.getByText('Saved: Thread, Rated body mass, kg.').waitFor();
      expect(await read(`/api/v1/parts/${partId}`)).toMatchObject({
        ratedBodyMassKg: 120,
        thread: 'M4',
        holePattern: '4-hole 30 mm',
      });
      expect(hers.complaints).toEqual([]);
      await hers.page.context().close();
    });

    test('a route asks one thing more: a socket begun afterwards is asked it, one under way is not', async () => {
      const before = await openedOrder(shop);
      await acceptedCast(shop, before.orderId);
      const begun = await makeSocket(shop, before.orderId, { kind: 'check', sheetThicknessMm: 12 });

      await page.goto('/setup/routes');
      await page.getByRole('link', { name: 'pin lock' }).first().click();
      await shows(/Sockets under way keep the version that they were begun on/);
      const trim = page
        .getByRole('listitem')
        .filter({ hasText: 'Cut and smooth the trim line' })
        .first();
      await trim.getByText('one check, Grinding, 45 min').click();
      await press('Add a check to Cut and smooth the trim line');
      await trim.getByLabel('Question 2', { exact: true }).fill('How wide is the edge?');
      await trim.getByLabel('Answer 2 is', { exact: true }).selectOption('a measured value');
      await trim.getByLabel('Unit of 2', { exact: true }).fill('mm');
      await trim.getByLabel('Least of 2', { exact: true }).fill('4');
      await trim.getByLabel('Greatest of 2', { exact: true }).fill('2');
      await shows('One thing stands against this route.');
      await trim.getByText('“How wide is the edge?” runs from 4 to 2.').waitFor();
      await press('Write the next version');
      await isToldAt(trim.getByLabel('Greatest of 2', { exact: true }), /runs from 4 to 2/);
      expect(await trim.getByLabel('Greatest of 2', { exact: true }).inputValue()).toBe('2');
      await trim.getByLabel('Greatest of 2', { exact: true }).fill('6');
      await shows('“Cut and smooth the trim line” asks further: How wide is the edge? (4 to 6 mm)');

      // Moved by the keyboard: the focus goes with it, and what cannot be is told beside it.
      const up = page.getByRole('button', { name: 'Move up: Torque every joint' });
      await up.focus();
      await keyboard.press('Enter', 'Enter');
      await keyboard.isAt(up);
      const order = page.getByText('“torque joints” comes after “fit hardware”.');
      await order.waitFor();
      await press('Write the next version');
      await keyboard.isAt(order);
      await lookAt(page, 'admin-route-order');
      const down = page.getByRole('button', { name: 'Move down: Torque every joint' });
      await down.focus();
      await keyboard.press('Enter', 'Enter');
      // At the end of the list there is no further down: the focus is on the way back.
      await keyboard.isAt(up);
      await lookAtOnPhone(page, 'admin-route-phone');
      await press('Write the next version');
      await shows('Version 2 is in force.');
      await shows(`Under way on it: ${begun.number}.`);
      await lookAt(page, 'admin-route-written');

      const after = await openedOrder(shop);
      await acceptedCast(shop, after.orderId);
      const later = await makeSocket(shop, after.orderId, { kind: 'check', sheetThicknessMm: 12 });
      const asked = ({ operations }: typeof begun): unknown[] =>
        operations
          .filter(({ kind }) => kind === 'trim_edges')
          .flatMap(({ checks }) => pick(checks, 'key'));
      expect(asked(later)).toEqual(['edges_smooth', 'wide_is_the_edge']);
      const kept = await ok<typeof begun>(
        clinic.as('technician').get(`/api/v1/sockets/${begun.id}`),
      );
      expect(asked(kept)).toEqual(['edges_smooth']);
    });

    test('two write one route: the second reads what the first wrote before hers takes its place', async () => {
      await page.goto('/setup/routes');
      await page.getByRole('heading', { name: 'Definitive sockets' }).waitFor();
      await lookAt(page, 'admin-routes');
      await page.goto('/setup/routes/definitive/sleeve');
      const name = field('Name of the route');
      await name.fill('Definitive socket, sleeve, mine');
      const { items } = await read<{ items: Record<string, unknown>[] }>('/api/v1/routes');
      const theirs = items.find(
        ({ socketKind, suspension }) => socketKind === 'definitive' && suspension === 'sleeve',
      );
      const operations = (theirs?.['operations'] as Record<string, unknown>[]).map(
        ({ seq: _seq, ...operation }) =>
          operation['kind'] === 'cure' ? { ...operation, title: 'Cure in the oven' } : operation,
      );
      await ok(
        clinic.as('administrator').post('/api/v1/routes', {
          basedOnVersion: 1,
          name: 'Definitive socket, sleeve',
          socketKind: 'definitive',
          suspension: 'sleeve',
          operations,
        }),
      );
      await press('Write the next version');
      await shows('Somebody else changed this while you were typing.');
      await shows('“Cure in the oven”, title: Cure in the oven; was Cure.');
      expect(await name.inputValue()).toBe('Definitive socket, sleeve, mine');
      await lookAt(page, 'admin-route-race');
    });

    test('a closed day moves the day that is offered', async () => {
      await page.goto('/setup/calendar');
      const offered = page.getByText(/^An order opened now would be offered/);
      const before = (await offered.textContent()) ?? '';
      const offer = await read<{ usual: { promisedOn: string } }>('/api/v1/dates/offer');
      await field('Monday').fill('eight to five');
      await press('Write the next version');
      await isToldAt(field('Monday'), /Type hours as 8:00-12:00/);
      await field('Monday').fill('12:00-8:00');
      await press('Write the next version');
      await isToldAt(field('Monday'), 'Monday: 12:00 to 8:00 is no opening time');
      await field('Monday').fill('8:00-12:00, 13:00-17:00');
      await field('Day').fill(offer.usual.promisedOn);
      await field('Why').fill('Stocktaking');
      // What is typed and not yet added is not lost unseen.
      await press('Write the next version');
      await isToldAt(field('Day'), /not in the list yet/);
      await press('Add the day');
      await shows(/Closed on .*: Stocktaking\./);
      await lookAt(page, 'admin-calendar');
      await lookAtOnPhone(page, 'admin-calendar-phone');
      await press('Write the next version');
      await shows(/Version 2 of the calendar is in force/);
      await expect.poll(() => offered.textContent()).not.toBe(before);
      const moved = await ok<{ usual: { promisedOn: string } }>(
        clinic.as('front_desk').get('/api/v1/dates/offer'),
      );
      expect(moved.usual.promisedOn > offer.usual.promisedOn).toBe(true);

      // Two at once: both closed days stand in the end.
      await field('Day').fill('2026-12-24');
      await field('Why').fill('Christmas Eve');
      await press('Add the day');
      const inForce = await read<{ weekdays: object[]; closedDays: object[] }>('/api/v1/calendar');
      await ok(
        clinic.as('administrator').post('/api/v1/calendar', {
          basedOnVersion: 2,
          weekdays: inForce.weekdays,
          closedDays: [...inForce.closedDays, { on: '2026-12-31', why: 'New Year’s Eve' }],
        }),
      );
      await press('Write the next version');
      await shows('Closed on Thu, 31 Dec 2026: New Year’s Eve.');
      await press('Write the next version');
      await shows(/Version 4 of the calendar is in force/);
      const { closedDays } = await read<{ closedDays: { on: string }[] }>('/api/v1/calendar');
      expect(pick(closedDays, 'on').slice(1)).toEqual(['2026-12-24', '2026-12-31']);
    });

    test('a layup rule is changed, and what it comes to is seen before it is written', async () => {
      await page.goto('/setup/layup-rules');
      const row = page.getByRole('listitem').filter({ hasText: 'Nearly everybody' }).first();
      await row
        .getByText(/Nearly everybody/)
        .first()
        .click();
      await row.getByLabel('up to, kg (row 1)').fill('90');
      await shows(/90.*100 kg/);
      await press('Write the next version');
      await page.getByRole('alert').first().waitFor();
      expect(await row.getByLabel('up to, kg (row 1)').inputValue()).toBe('90');
      await row.getByLabel('up to, kg (row 1)').fill('100');
      const wall = page.getByText(/^Wall/i).or(page.getByText(/wall.*mm/i));
      await row.getByLabel('How many (layer 4)').fill('x');
      await press('Write the next version');
      await isToldAt(row.getByLabel('How many (layer 4)'), 'This is no number.');
      await row.getByLabel('How many (layer 4)').fill('3');
      await shows(/“Nearly everybody” has now: structural braid: 3 layers/);
      const [inForce, typed] = await wall.allTextContents();
      expect(typed).not.toBe(inForce);
      await lookAt(page, 'admin-layup-rules');
      await lookAtOnPhone(page, 'admin-layup-rules-phone');
      await press('Write the next version');
      await shows('Version 2 of the layup rules is in force.');
      expect(await read('/api/v1/layup-rules')).toMatchObject({
        version: 2,
        createdBy: 'Ada Keys of KL',
      });
    });

    test('the settings of the clinic: each says what it does; bad input stays and is told', async () => {
      await page.goto('/setup/clinic');
      await field('Tolerance of the alignment, mm').fill('0');
      await field(/^Labour for an hour/).fill('65.505');
      await press('Save the changes');
      await isToldAt(field(/^Labour for an hour/), /at most 2 figures behind the point/);
      // What is typed and not saved is still there after a look at another page.
      await page.getByRole('navigation').getByRole('link', { name: 'Set-up' }).click();
      await page.getByRole('link', { name: 'Settings of the clinic' }).click();
      expect(await field(/^Labour for an hour/).inputValue()).toBe('65.505');
      await press('Put back what the book has');
      expect(await field(/^Labour for an hour/).inputValue()).toBe('');
      await field('Tolerance of the alignment, mm').fill('0');
      await field(/^Labour for an hour/).fill('65.50');
      await press('Save the changes');
      await isToldAt(field('Tolerance of the alignment, mm'), /./);
      await field('Tolerance of the alignment, mm').fill('2.5');
      await press('Save the changes');
      await isToldAt(field('Currency'), /currency/i);
      expect(await field(/^Labour for an hour/).inputValue()).toBe('65.50');
      await field('Currency').selectOption('CHF');
      await press('Save the changes');
      await shows(/^Saved: Tolerance of the alignment, mm, Currency, Labour for an hour/);
      expect(await read('/api/v1/clinic')).toMatchObject({
        alignmentToleranceMm: 2.5,
        currency: 'CHF',
        labourRatePerHourMinor: 6550,
      });
      // Who changed it, and from what, stands on the page.
      await page.getByText('Show what was done, by whom, and the values before').click();
      await page.getByText('clinic’s settings changed').first().waitFor();
      const told = await page.locator('section.history').innerText();
      expect(told).toContain('CHF');
      expect(told).toContain('2.5');
      expect(told).toContain(clinic.people.administrator.caller.printedName);
      // Every setting has its help.
      const settings = await page.getByRole('button', { name: /^Help: / }).count();
      expect(settings).toBeGreaterThanOrEqual(26);
      await lookAt(page, 'admin-clinic');
      await lookAtOnPhone(page, 'admin-clinic-phone');
    });

    test('fabric, resin, tool, bench and bin: what is wrong is told at its field', async () => {
      await page.goto('/setup/fabrics/new');
      await field('Name').fill('Invented braid, 90 mm');
      await field('Material').fill('Invented Braid');
      await field('Form').selectOption('tube, drawn over');
      await field('Areal density, g/m²').fill('4');
      await field('Width, mm').fill('90');
      await field('Density of the fibre, g/cm³').fill('1.8');
      await field('Stretch of the girth, per cent').fill('60');
      await press('Enter a fabric');
      await isToldAt(field('Material'), /lower-case letters/);
      await field('Material').fill('invented_braid');
      await press('Enter a fabric');
      await isToldAt(field('Areal density, g/m²'), /20 to 1500 g\/m²|Areal density/);
      await field('Areal density, g/m²').fill('400');
      await lookAt(page, 'admin-fabric');
      await press('Enter a fabric');
      await page.getByRole('heading', { name: 'Invented braid, 90 mm' }).waitFor();
      await page.locator('summary', { hasText: 'Withdraw it' }).click();
      await press('Withdraw it');
      await shows('Invented braid, 90 mm is withdrawn.');

      await page.goto('/setup/resins');
      await page.getByRole('link', { name: 'Invented laminating epoxy' }).click();
      await field('Parts of hardener by mass').fill('3800');
      await press('Save the changes');
      await isToldAt(field('Parts of hardener by mass'), /./);
      expect(await field('Parts of hardener by mass').inputValue()).toBe('3800');
      await lookAt(page, 'admin-resin');

      await page.goto('/setup/tools');
      await field('Kind').selectOption('torque tool');
      await field('Name').fill('Wrench 9');
      await field('Type').selectOption('releases at a set torque (Type II)');
      await field('Class').selectOption('A');
      await field('Range from, N·m').fill('20');
      await field('Range to, N·m').fill('4');
      await field('Bin').selectOption({ index: 1 });
      await press('Enter a shop tool');
      await isToldAt(field('Range from, N·m'), /./);
      await field('Range from, N·m').fill('2');
      await field('Range to, N·m').fill('20');
      await press('Enter a shop tool');
      await shows('Wrench 9 is entered.');
      await lookAt(page, 'admin-tools');
      await page.getByRole('link', { name: 'Wrench 9' }).click();
      await shows('No joint torqued with it counts today:');
      await page.getByText('Enter a certificate').first().click();
      await field('Calibrated on').fill('2026-03-09');
      await field('Number of the certificate').fill('C-9');
      await field('Laboratory').fill('Invented laboratory');
      await press('Enter a certificate');
      await isToldAt(field('Calibrated on'), /9 Mar 2026/);
      await field('Calibrated on').fill('2026-03-01');
      await press('Enter a certificate');
      await shows('A joint torqued with it counts today.');
      await lookAt(page, 'admin-tool');
      await press('Take it out of service');
      await isToldAt(field('Why'), 'This is missing.');

      await page.goto('/setup/benches');
      await field('Name').last().fill('Oven');
      await field('People at a time').last().fill('0');
      await press('Add a bench');
      await isToldAt(field('People at a time').last(), /./);
      await field('People at a time').last().fill('1');
      await press('Add a bench');
      await isToldAt(field('Name').last(), /There is a bench Oven/);
      await lookAt(page, 'admin-benches');

      await page.goto('/setup/bins');
      await press('Add a bin');
      await isToldAt(field('Name'), 'This is missing.');
      await field('Name').fill('Drawer 12');
      await press('Add a bin');
      await shows('Bin Drawer 12 is there.');
    });

    test('a scanned label without a part becomes one, or is set aside with the reason', async () => {
      const bin = await ok<{ id: string }>(
        clinic.as('administrator').post('/api/v1/places', { name: 'Shelf of labels' }),
      );
      // GTINs with their check digit (GS1 General Specifications, 7.9); the prefix is for use inside a company.
      for (const gtin of ['02000000000015', '02000000000022']) {
        await ok(
          clinic.as('technician').post('/api/v1/items/scan', {
            scans: [`(01)${gtin}(10)L1`],
            toPlaceId: bin.id,
          }),
        );
      }
      await page.goto('/setup');
      await shows('2 labels wait for an administrator.');
      await page.getByRole('link', { name: 'Scanned labels without a part' }).click();
      await lookAt(page, 'admin-drafts');
      await page.getByRole('link', { name: 'Make the part' }).first().click();
      await shows('02000000000015');
      await field('Kind').selectOption('screw_set');
      await field('Catalogue number').fill('INV-S-5');
      await field('Name').fill('Four screws M5');
      await field('Single use: never into a second socket').check();
      await press('Enter a part');
      await page.getByRole('heading', { name: 'Four screws M5' }).waitFor();
      expect(await field('Device identifier').inputValue()).toBe('02000000000015');
      await page.goto('/setup/drafts');
      await page.locator('summary').first().click();
      await press('Set it aside');
      await isToldAt(field('Why no part is made of it'), 'This is missing.');
      await field('Why no part is made of it').fill('A box of gloves.');
      await press('Set it aside');
      await shows('02000000000022 is set aside.');
      await field('those resolved too').check();
      await shows(/Set aside by Ada Keys of KL, .*: A box of gloves\./);
    });

    test('prices of pieces and batches are typed as money', async () => {
      await page.goto('/setup/batches');
      const first = page
        .getByRole('listitem')
        .filter({ has: page.locator('details') })
        .first();
      await first.locator('summary').click();
      await first.getByLabel(/^Price of all of lot/).fill('49,90');
      await first.getByRole('button', { name: 'Save the changes' }).click();
      await shows('49.90 CHF');
      await lookAt(page, 'admin-batches');
      await shop.receive('pyramid', 1);
      await page.goto(`/setup/parts/${shop.parts.pyramid}`);
      const piece = page
        .getByRole('listitem')
        .filter({ has: page.locator('details') })
        .first();
      await piece.locator('summary').click();
      await piece.getByLabel(/^Price of/).fill('149');
      await piece.getByRole('button', { name: 'Save the changes' }).click();
      await shows('149.00 CHF');
      await lookAt(page, 'admin-part');
      expect(watched.complaints).toEqual([]);
    });
  },
);
