/** The network drops in the lab: what is recorded is kept on the phone, and goes onto the record in order, once. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { takeOn, testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import {
  launch,
  lookAt,
  noBrowser,
  openMenu,
  openPage,
  signedIn,
  signInAs,
} from '../support/browser.ts';
import {
  acceptedCast,
  doOperations,
  inPosition,
  issueHardware,
  makeSocket,
  ok,
  onBench,
  openedOrder,
  readSocket,
  stockedShop,
  type Hardware,
  type Shop,
} from '../support/job.ts';

const LONG_MS = 120_000;

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let shop: Shop;
    let browser: Browser;
    let other: TestPerson;
    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      browser = await launch();
      other = await takeOn(clinic, {
        email: 'berta@kl.example',
        printedName: 'Berta Bench',
        roles: ['technician'],
      });
    });
    beforeEach(() => {
      clinic.clock.set('2026-03-02T09:00:00Z');
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    interface Phone {
      readonly page: Page;
      readonly context: BrowserContext;
      readonly complaints: string[];
    }
    /** A technician's phone whose service worker has the client. */
    async function phone(): Promise<Phone> {
      const { page, complaints } = await openPage(browser, clinic, 'phone');
      await signInAs(page, clinic.people.technician);
      await page.evaluate('navigator.serviceWorker.ready.then(() => undefined)');
      return { page, context: page.context(), complaints };
    }
    const heading = (page: Page, name: string) =>
      page.getByRole('heading', { level: 2, name }).waitFor();
    const press = (page: Page, name: string | RegExp) =>
      page.getByRole('button', { name, exact: typeof name === 'string' }).click();
    const answer = async (page: Page, question: string, choice: 'Yes' | 'No') => {
      const group = page.getByRole('group', { name: new RegExp(question) });
      await group.getByText(choice, { exact: true }).click();
    };
    const mark = (page: Page, words: string | RegExp) =>
      page.getByRole('banner').getByRole('link', { name: words });
    const recordsOf = (socketId: string) =>
      clinic.store.raw<{ title: string; recorded_at: Date; bench_at: Date | null }>(
        `select o.title, r.recorded_at, r.bench_at from operation_record r
         join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
         where o.socket_id = $1 order by r.recorded_at, r.id`,
        [socketId],
      );

    /** A check socket at its first operation. */
    async function newSocket(): Promise<string> {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      return (await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 })).id;
    }
    async function hardwareIn(): Promise<{ socketId: string; hardware: Hardware }> {
      const socketId = await newSocket();
      await doOperations(shop, socketId, ['prepare_model', 'thermoform', 'trim_edges']);
      return { socketId, hardware: await issueHardware(shop, socketId) };
    }
    async function checkLockOnPage(page: Page): Promise<void> {
      for (const cycle of ['first', 'second']) {
        const area = page.getByRole('button', { name: /touch at every click/ });
        for (let click = 0; click < 6; click += 1) await area.click();
        await answer(page, 'Does it hold under pull', 'Yes');
        await answer(page, 'Does the button release it', 'Yes');
        if (cycle === 'first') await press(page, 'And once more');
      }
      await press(page, 'Record the lock check');
    }

    test(
      'three acts without a network, a reload in between: all on record, in order, once',
      { timeout: LONG_MS },
      async () => {
        const socketId = await newSocket();
        const { page, context, complaints } = await phone();
        await page.goto(`/bench/${socketId}`);
        await heading(page, 'Prepare the model');
        // What was read is kept a moment later.
        await page.waitForTimeout(1500);

        await context.setOffline(true);
        await answer(page, 'Does the model carry the order number', 'Yes');
        await answer(page, 'Do the circumferences of the model agree', 'Yes');
        await press(page, 'Done');
        await heading(page, 'Form the check socket over the model');
        await mark(page, '1 kept on this phone').waitFor();
        await page.getByText('kept on this phone, not yet on record').first().waitFor();
        await lookAt(page, 'offline-kept');
        expect(await recordsOf(socketId)).toHaveLength(0);

        // Something is wrong, too.
        await page.getByRole('link', { name: 'Report a finding' }).click();
        await page.getByText('rattle', { exact: true }).click();
        await page.getByLabel('What you see, and where').fill('The model rattles in its clamp.');
        await press(page, 'Report it');
        await mark(page, '2 kept on this phone').waitFor();

        // A reload finds the person, the page and the acts.
        await page.reload();
        await heading(page, 'Form the check socket over the model');
        await mark(page, '2 kept on this phone').waitFor();
        await page.getByText(/^As of .*, offline\.$/).waitFor();
        await lookAt(page, 'offline-reloaded');

        await page.getByRole('link', { name: 'Report a finding' }).click();
        await page.getByText('void', { exact: true }).click();
        await page.getByLabel('What you see, and where').fill('A void at the brim.');
        await press(page, 'Report it');
        await mark(page, '3 kept on this phone').click();
        await page.getByRole('heading', { name: 'Kept on this phone' }).waitFor();
        expect(await page.getByRole('article').count()).toBe(3);
        await lookAt(page, 'offline-kept-page');

        clinic.clock.pass(70);
        await context.setOffline(false);
        await page.getByText('Nothing waits on this phone.').waitFor();
        await lookAt(page, 'offline-sent');

        const records = await recordsOf(socketId);
        expect(records.map(({ title }) => title)).toEqual(['Prepare the model']);
        expect(records[0]?.recorded_at.toISOString()).toBe('2026-03-02T10:10:00.000Z');
        // Recorded at ten by the clinic's clock, give or take how long the test takes.
        const keptMinutes =
          ((records[0]?.recorded_at.getTime() ?? 0) - (records[0]?.bench_at?.getTime() ?? 0)) /
          60_000;
        expect(keptMinutes).toBeGreaterThan(65);
        const findings = await clinic.store.raw<{ note: string }>(
          'select note from finding where socket_id = $1 order by id',
          [socketId],
        );
        expect(findings.map(({ note }) => note)).toEqual([
          'The model rattles in its clamp.',
          'A void at the brim.',
        ]);
        expect(complaints).toEqual([]);
        await context.close();
      },
    );

    test(
      'a lock check after which somebody had the lock out is shown, and done again',
      { timeout: LONG_MS },
      async () => {
        const { socketId, hardware } = await hardwareIn();
        const bystander = await newSocket();
        const { page, context, complaints } = await phone();
        await page.goto(`/bench/${bystander}`);
        await heading(page, 'Prepare the model');
        await page.waitForTimeout(1000);
        await page.goto(`/bench/${socketId}/lock`);
        await page.getByRole('button', { name: /touch at every click, at least 4/ }).waitFor();
        await page.waitForTimeout(1500);
        await context.setOffline(true);
        await checkLockOnPage(page);
        await mark(page, '1 kept on this phone').waitFor();
        await page.goto(`/bench/${bystander}/finding`);
        await page.getByText('crack', { exact: true }).click();
        await page.getByLabel('What you see, and where').fill('At the brim.');
        await press(page, 'Report it');
        await mark(page, '2 kept on this phone').waitFor();

        clinic.clock.pass(60);
        for (const [from, to, reason] of [
          [inPosition(socketId, 'lock'), onBench, 'taken_out_for_trimming'],
          [onBench, inPosition(socketId, 'lock'), 'put_back'],
        ] as const) {
          await ok(
            clinic
              .as(other)
              .post('/api/v1/moves', { thing: { itemId: hardware.lock }, from, to, reason }),
          );
        }
        clinic.clock.pass(60);
        await context.setOffline(false);

        // The other socket's act went; this one needs the person.
        await mark(page, '1 kept on this phone: needs you').click();
        await page.getByText(/was moved by Berta Bench \(Mon 2 Mar 2026 11:00\)/).waitFor();
        await lookAt(page, 'offline-conflict');
        expect((await readSocket(shop, bystander)).openFindings).toHaveLength(1);
        expect((await readSocket(shop, socketId)).lockCheckedNow).toBe(false);

        // Done again: what was counted then stands in the list, and is counted anew.
        await press(page, 'Do it again');
        await page.getByText(/What you record there takes its place|You do it again/).waitFor();
        await lookAt(page, 'offline-again');
        await checkLockOnPage(page);
        await page.getByText('checked, and it counts').waitFor();
        await mark(page, /kept on this phone/).waitFor({ state: 'detached' });
        expect((await readSocket(shop, socketId)).lockCheckedNow).toBe(true);
        expect(complaints).toEqual([]);
        await context.close();
      },
    );

    test(
      'set aside with a reason, it is told to the record as a finding, and stays until dismissed',
      { timeout: LONG_MS },
      async () => {
        const { socketId, hardware } = await hardwareIn();
        const { page, context } = await phone();
        await page.goto(`/bench/${socketId}/hardware`);
        await page.getByRole('button', { name: /^take out: Shuttle lock/ }).waitFor();
        await page.waitForTimeout(1500);
        await context.setOffline(true);
        await page.getByRole('button', { name: /^take out: Shuttle lock/ }).click();
        await press(page, 'Take it out, onto the bench');
        await mark(page, '1 kept on this phone').waitFor();
        await lookAt(page, 'offline-move-kept');
        clinic.clock.pass(60);
        await ok(
          clinic.as(other).post('/api/v1/moves', {
            thing: { itemId: hardware.lock },
            from: inPosition(socketId, 'lock'),
            to: { kind: 'quarantine' },
            reason: 'quarantined',
          }),
        );
        await context.setOffline(false);
        await mark(page, '1 kept on this phone: needs you').click();
        await press(page, 'Set it aside');
        await press(page, 'Set it aside, with this reason');
        await page.getByText('Say why.').waitFor();
        await page.getByLabel('Why it is not to go on record').fill('Berta has it.');
        await page.getByText('Yes, as a finding on the socket').click();
        await press(page, 'Set it aside, with this reason');
        await page.getByText('Set aside by you.').waitFor();
        await mark(page, /kept on this phone/).waitFor({ state: 'detached' });
        await lookAt(page, 'offline-aside');
        const [finding] = await clinic.store.raw<{ note: string }>(
          'select note from finding where socket_id = $1',
          [socketId],
        );
        expect(finding?.note).toContain('Set aside because: Berta has it.');
        await press(page, 'Take it off this list');
        await page.getByText('Nothing waits on this phone.').waitFor();
        await context.close();
      },
    );

    test(
      'who signs out is warned; the acts stay for that person, and are nobody else’s',
      { timeout: LONG_MS },
      async () => {
        const socketId = await newSocket();
        const { page, context } = await phone();
        await page.goto(`/bench/${socketId}/finding`);
        await page.getByText('crack', { exact: true }).click();
        await page.getByLabel('What you see, and where').fill('Kept over a signing out.');
        await context.setOffline(true);
        await press(page, 'Report it');
        await mark(page, '1 kept on this phone').waitFor();
        await openMenu(page);
        await press(page, 'Sign out');
        await page.getByText('1 act is not yet on record.', { exact: false }).waitFor();
        await lookAt(page, 'offline-leaving');
        await press(page, 'Sign out all the same');
        await page
          .getByText('1 act of another person waits on this phone', { exact: false })
          .waitFor();
        const pagesKept = (): Promise<number> =>
          page.evaluate<number>(
            `new Promise((resolve) => { const open = indexedDB.open('castbook'); open.onsuccess = () => { const all = open.result.transaction('pages').objectStore('pages').count(); all.onsuccess = () => resolve(all.result); }; })`,
          );
        // The page says so while they are being wiped.
        await expect.poll(pagesKept).toBe(0);
        await context.setOffline(false);

        // Another person signs in: nothing is shown, nothing is sent.
        await signInAs(page, other);
        await page.goto('/kept');
        await page
          .getByText('1 act of another person waits on this phone', { exact: false })
          .waitFor();
        expect(await page.getByRole('article').count()).toBe(0);
        expect((await readSocket(shop, socketId)).openFindings).toHaveLength(0);
        await openMenu(page);
        await press(page, 'Sign out');
        await signInAs(page, clinic.people.technician);
        await expect
          .poll(async () => (await readSocket(shop, socketId)).openFindings.length, {
            timeout: 15_000,
          })
          .toBe(1);
        const [row] = await clinic.store.raw<{ opened_by_id: string }>(
          'select opened_by_id from finding where socket_id = $1',
          [socketId],
        );
        expect(row?.opened_by_id).toBe(clinic.people.technician.id);
        await context.close();
      },
    );

    test(
      'while the service is down a joint is torqued, and counts when it is back',
      { timeout: LONG_MS },
      async () => {
        const { socketId } = await hardwareIn();
        const { page, context } = await phone();
        await page.goto(`/bench/${socketId}`);
        await heading(page, 'Put in the hardware');
        // Never looked at before: tools and threadlocker were read ahead.
        await page.waitForTimeout(2500);
        await context.route(/\/(api|healthz)/, (route) => route.abort('connectionrefused'));
        await page.getByRole('link', { name: 'Torque distal' }).click();
        await page.getByLabel('Torque tool').selectOption({ label: 'Torque wrench 1' });
        await page
          .getByText(/THR-\d+ · Invented threadlocker/)
          .first()
          .click();
        for (const value of [5, 5, 5, 5, 8, 8, 8, 8, 15, 15, 15, 15]) {
          await page.getByLabel(/What the tool shows/).fill(String(value));
          await press(page, 'Next screw');
        }
        await press(page, 'Torqued: record the joint');
        await mark(page, '1 kept on this phone').waitFor();
        await page.getByText('OPEN: never torqued on this socket').waitFor();
        await lookAt(page, 'offline-torque');
        clinic.clock.pass(30);
        await context.unroute(/\/(api|healthz)/);
        await page.getByText('torqued, and it counts').waitFor({ timeout: 30_000 });
        await mark(page, /kept on this phone/).waitFor({ state: 'detached' });
        await lookAt(page, 'offline-torque-sent');
        const [row] = await clinic.store.raw<{ late: number }>(
          `select extract(epoch from recorded_at - bench_at)::int as late from torque_confirmation
           where joint_id in (select id from joint where socket_id = $1)`,
          [socketId],
        );
        expect(row?.late).toBeGreaterThan(25 * 60);
        await context.close();
      },
    );

    test(
      'a page of a build that is gone loads the client anew, once',
      { timeout: LONG_MS },
      async () => {
        // Without the worker, which would have the old build's files.
        const context = await browser.newContext({
          baseURL: clinic.address,
          serviceWorkers: 'block',
        });
        const page = await context.newPage();
        await signInAs(page, clinic.people.technician);
        let loads = 0;
        page.on('load', () => (loads += 1));
        await page.route('**/assets/pages-*.js', (route) => route.fulfill({ status: 404 }));
        await page.route(/\/$/, async (route) => {
          if (route.request().resourceType() !== 'fetch') return route.continue();
          return route.fulfill({ contentType: 'text/html', body: '<!doctype html>another build' });
        });
        await page.getByRole('link', { name: 'Bench', exact: true }).click();
        await page.getByRole('button', { name: 'Try again' }).waitFor();
        expect(loads).toBe(1);
        await page.unroute('**/assets/pages-*.js');
        await page.reload();
        await page.getByLabel('Order number on the traveller').waitFor();
        await context.close();
      },
    );

    test(
      'an answer that is lost on the way is asked for again, and the act done once',
      { timeout: LONG_MS },
      async () => {
        const socketId = await newSocket();
        const { page, context } = await phone();
        await page.goto(`/bench/${socketId}/finding`);
        await page.getByText('crack', { exact: true }).click();
        await page.getByLabel('What you see, and where').fill('Once.');
        let lost = 0;
        await page.route(
          '**/findings',
          async (route) => {
            lost += 1;
            await route.fetch();
            await route.abort('connectionreset');
          },
          { times: 2 },
        );
        await press(page, 'Report it');
        await expect.poll(() => lost, { timeout: 15_000 }).toBe(2);
        await mark(page, /kept on this phone/).waitFor({ state: 'detached' });
        expect((await readSocket(shop, socketId)).openFindings).toHaveLength(1);
        await context.close();
      },
    );

    test(
      'a reload while the sign-in is renewed keeps the person signed in',
      { timeout: LONG_MS },
      async () => {
        const { page, context } = await phone();
        // The service renews, and the page is gone before its answer comes.
        let renewed = 0;
        await page.route(
          '**/sign-in/refresh',
          async (route) => {
            await route.fetch();
            renewed += 1;
          },
          { times: 1 },
        );
        await page.reload();
        await expect.poll(() => renewed).toBe(1);
        await page.reload();
        await signedIn(page).waitFor({ state: 'attached' });
        await page.goto('/bench');
        await page.getByLabel('Order number on the traveller').waitFor();
        await context.close();
      },
    );
  },
);
