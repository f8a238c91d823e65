/** The technician's phone: from the number on the traveller to a torqued joint, and the resin's clock. */
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  expectStrongContrast,
  launch,
  lookAt,
  noBrowser,
  openPage,
  signInAs,
} from '../support/browser.ts';
import {
  acceptedCast,
  acceptFit,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  laidUpWithoutLock,
  ok,
  openedOrder,
  readSocket,
  sealedWithoutLock,
  stockedShop,
  type ResinBody,
  type Shop,
} from '../support/job.ts';

/** Everything that is touched with gloves (WCAG 2.5.5 asks for 44 CSS px either way). */
const TOUCHED =
  'main a, main button, main select, main input:not([type=radio]):not([type=checkbox]), main .choices label, header a:not(.skip), header button';
const LEAST_PX = 44;
/** Of 740: what the head may take from the work. */
const HEAD_MOST_PX = 64;
/** The hour at the bench is some hundred acts, and axe looks at a dozen pages; no speed is asserted. */
const HOUR_MS = 240_000;

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

    const phone = async (): Promise<{ page: Page; complaints: string[] }> => {
      const watched = await openPage(browser, clinic, 'phone');
      await signInAs(watched.page, clinic.people.technician);
      return watched;
    };

    test(
      'an hour at the bench: from the typed order number to a torqued joint',
      { timeout: HOUR_MS },
      async () => {
        const { orderId, number } = await openedOrder(shop);
        await acceptedCast(shop, orderId);
        for (const part of ['lock', 'lock_plate', 'pin', 'pyramid', 'distal_screws'] as const) {
          await shop.receive(part, 1);
        }
        const { page, complaints } = await phone();

        // The number is mistyped first, and stays in its field.
        await page.goto('/bench');
        await page.getByLabel('Order number on the traveller').fill(mistyped(number));
        await page.getByRole('button', { name: 'Open' }).click();
        await said(page.getByRole('alert'), 'has a wrong character');
        expect(await page.getByLabel('Order number on the traveller').inputValue()).toBe(
          mistyped(number),
        );
        await lookAtBench(page, 'bench-mistyped');
        await page.getByLabel('Order number on the traveller').fill(number.toLowerCase());
        await page.getByRole('button', { name: 'Open' }).click();

        // No socket is begun yet: it begins here.
        await page.getByLabel(/Thickness of the sheet/).fill('12');
        await lookAtBench(page, 'bench-begin');
        await page.getByRole('button', { name: 'Begin a check socket' }).click();

        // The first operation. Done without its answers it says what is missing, beside the fields.
        await heading(page, 'Prepare the model');
        await lookAtBench(page, 'bench-operation');
        await press(page, 'Done');
        await page.locator('.against').first().waitFor();
        await answer(page, 'Does the model carry the order number', 'Yes');
        await answer(page, 'Do the circumferences of the model agree', 'Yes');
        await press(page, 'Done');

        // A batch and a measured value with its limits; out of them it is told before it is sent.
        await heading(page, 'Form the check socket over the model');
        await page.getByText(/THE-\d+ · Invented thermoplastic sheet/).click();
        await page.getByLabel('How thick is the sheet? (mm)').fill('8,5');
        await said(page.getByRole('alert'), 'This stops the work and opens a finding');
        await lookAtBench(page, 'bench-out-of-limits');
        await page.getByLabel('How thick is the sheet? (mm)').fill('12');
        await answer(page, 'Is the wall free of bubbles', 'No');
        await press(page, 'Keep it, and stop the work');

        // Stopped, with its finding; put right, it goes on.
        await page.getByText('Stopped by a finding.').waitFor();
        await lookAtBench(page, 'bench-stopped');
        await page.getByLabel('How it was put right').fill('Formed again over the model.');
        await press(page, 'It is put right');
        await page.getByText(/THE-\d+ · Invented thermoplastic sheet/).click();
        await page.getByLabel('How thick is the sheet? (mm)').fill('12');
        await answer(page, 'Is the wall free of bubbles', 'Yes');
        await press(page, 'Done');
        await heading(page, 'Cut and smooth the trim line');
        await answer(page, 'Are the edges smooth', 'Yes');
        await press(page, 'Done');

        // The hardware is not in: the operation says so, and leads there.
        await heading(page, 'Put in the hardware');
        await answer(page, 'Does every part seat flat', 'Yes');
        await press(page, 'Done');
        await said(page.getByRole('alert'), 'hardware');
        await page.getByRole('link', { name: 'Go to: Hardware in the socket' }).click();
        await lookAtBench(page, 'bench-hardware');
        for (const position of ['lock', 'pin', 'pyramid', 'distal screws']) {
          await page.getByRole('button', { name: `put in: ${position}`, exact: true }).click();
          const piece = page.getByLabel(`Which piece: ${position}`, { exact: true });
          await piece.locator('option').nth(1).waitFor({ state: 'attached' });
          await piece.selectOption({ index: 1 });
          await press(page, 'Put it in');
          await piece.waitFor({ state: 'detached' });
        }
        await page.getByRole('link', { name: 'Back to the operation' }).click();
        // What was answered before is still answered.
        await press(page, 'Done');
        await heading(page, 'Check the lock with its pin');

        // The lock: clicks by touching, and all of it twice.
        await page.getByRole('link', { name: 'Go to: Lock check' }).click();
        for (const cycle of ['first', 'second']) {
          const area = page.getByRole('button', { name: /touch at every click, at least 4/ });
          for (let click = 0; click < 5; click += 1) await area.click();
          await answer(page, 'Does it hold under pull?', 'Yes');
          await answer(page, 'Does the button release it?', 'Yes');
          if (cycle === 'first') {
            await lookAtBench(page, 'bench-lock');
            await press(page, 'And once more');
          }
        }
        await press(page, 'Record the lock check');
        await page.getByText('checked, and it counts').waitFor();
        await page.getByRole('link', { name: 'Back to the operation' }).click();
        await answer(page, 'Can the wearer reach the release button?', 'Yes');
        await press(page, 'Done');

        // The joint: tool, threadlocker, then screw after screw in tightening order.
        await heading(page, 'Torque every joint');
        await page.getByRole('link', { name: 'Go to: Joint distal' }).click();
        await page.getByLabel('Torque tool').selectOption({ label: 'Torque wrench 2' });
        await said(page.getByRole('alert'), 'This tool cannot prove this joint');
        await page.getByLabel('Torque tool').selectOption({ label: 'Torque wrench 1' });
        await page.getByText(/THR-\d+ · Invented threadlocker/).click();
        for (const [pass, value] of [
          [1, '5'],
          [2, '8'],
        ] as const) {
          for (const screw of [1, 3, 2, 4]) await turn(page, screw, pass, value);
        }
        // Out of the band it is plain before anything is kept: 13.5 + 4 % to 16.5 − 4 %.
        await heading(page, 'Screw 1 · pass 3 / 3');
        await page.getByText('14.1 – 15.8 N·m').waitFor();
        await page.getByLabel('What the tool shows (N·m)').fill('13.6');
        await page.getByText(/BELOW 14.1 – 15.8 N·m/).waitFor();
        await lookAtBench(page, 'bench-torque');
        await turn(page, 1, 3, '15');
        // A wrench that shows pound-inches: 133 lbf·in are 15.03 N·m.
        await page.getByLabel('lbf·in').check();
        await turn(page, 3, 3, '133', 'lbf·in');
        await page.getByLabel('N·m', { exact: true }).check();
        await turn(page, 2, 3, '15.2');
        await turn(page, 4, 3, '14.9');
        await lookAtBench(page, 'bench-torqued');
        await press(page, 'Torqued: record the joint');
        await page.getByText('torqued, and it counts').waitFor();
        await page.getByRole('link', { name: 'Back to the operation' }).click();
        await answer(page, 'Is every screw head marked', 'Yes');
        await press(page, 'Done');
        await page.getByText('Every operation of this socket is done.').waitFor();
        await lookAtBench(page, 'bench-all-done');

        const { body } = await clinic.as('technician').get(`/api/v1/orders/${orderId}`);
        const socket = await readSocket(shop, String(body.sockets[0].id));
        expect(socket.joints).toMatchObject([{ kind: 'distal', confirmed: true }]);
        expect(socket.lockCheckedNow).toBe(true);
        expect(socket.operations.map(({ state }) => state)).toEqual(Array(6).fill('done'));
        expect(complaints).toEqual([]);
        await page.context().close();
      },
    );

    test('resin is weighed against its ratio, and its clock stays in sight through a reload', async () => {
      const socketId = await laidUpWithoutLock(shop);
      const { page, complaints } = await phone();
      await page.goto(`/bench/${socketId}`);
      await heading(page, 'Mix, pour and draw the resin through');
      await page.getByText('no resin recipe is on record').waitFor();
      await page.getByRole('link', { name: 'Go to: Resin weighed' }).click();
      await page.getByLabel(/Temperature of the shop/).fill('22');
      await press(page, 'Work it out');
      await heading(page, /^Cup 1 \//);

      const [cup = { resinG: 0, hardenerG: 0 }] = (await resinOf(socketId)).recipe.pours;
      await page.getByLabel(/^Resin on the scale/).fill(String(cup.resinG));
      await page.getByLabel(/^Hardener on the scale/).fill(String(cup.hardenerG * 0.9));
      await page.getByText('OUTSIDE the tolerance').waitFor();
      await page.getByRole('button', { name: 'Keep it, and stop the work' }).waitFor();
      await lookAtBench(page, 'bench-resin-off-ratio');
      await page.getByLabel(/^Hardener on the scale/).fill(String(cup.hardenerG));
      await page.getByText('within the tolerance').waitFor();
      await page.getByText(/RES-\d+ · Invented resin/).click();
      await page.getByText(/HAR-\d+ · Invented hardener/).click();
      await press(page, 'Mixed now: start the clock');
      await page.getByRole('timer').first().waitFor();
      await lookAtBench(page, 'bench-resin-clock');

      // Ten of its thirty minutes later by the service's clock: on another page, and after a reload.
      clinic.clock.pass(10);
      await page.goto('/');
      await said(page.getByRole('timer'), 'Cup 1: 19:');
      await page.reload();
      await said(page.getByRole('timer'), 'Cup 1: 19:');
      const head = `document.querySelector('header').getBoundingClientRect().height`;
      expect(await page.evaluate<number>(head)).toBeLessThanOrEqual(HEAD_MOST_PX);
      await lookAtBench(page, 'bench-clock-elsewhere');
      await page.getByRole('timer').first().click();
      await page.getByRole('heading', { name: /^Recipe 1/ }).waitFor();
      expect((await resinOf(socketId)).cups[0]?.state).toBe('good');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('the hardware of the accepted check socket moves over, with fresh single-use pieces', async () => {
      const { orderId, number } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const check = await checkSocketOnTheLimb(shop, orderId);
      await ok(acceptFit(shop, check.socketId));
      const socketId = await definitiveAwaitingLock(shop, orderId);
      await shop.receive('distal_screws', 1);
      await shop.receive('spring', 1);
      const { page, complaints } = await phone();
      // The code of the traveller opens the socket under work, wherever the clinic is reached.
      await page.goto(`/o/${number}`);
      await heading(page, 'Cut and smooth the trim line');
      await page.goto(`/bench/${socketId}/transfer`);
      for (const at of [/spring/, /Screw set/]) {
        const row = page.getByRole('row').filter({ hasText: at });
        const piece = row.getByLabel('fresh piece');
        await piece.locator('option').nth(1).waitFor({ state: 'attached' });
        await piece.selectOption({ index: 1 });
      }
      await lookAtBench(page, 'bench-transfer');
      await press(page, 'Move 5, with 2 fresh');
      await page.getByText('Nothing is left to move.').waitFor();
      const { hardware } = await readSocket(shop, socketId);
      expect(hardware.map(({ position }) => position).sort()).toEqual([
        'distal_screws',
        'lock',
        'lock_plate',
        'lock_spring',
        'pin',
        'pyramid',
        'release_valve',
      ]);
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a phone that reads codes by itself, and has a light, opens the order of the traveller', async () => {
      const { orderId, number } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const { page, complaints } = await phone();
      // A phone's reader of codes, and a picture for it; headless Chromium has neither.
      await page.addInitScript(`
        window.BarcodeDetector = class {
          static async getSupportedFormats() {
            return ['qr_code', 'data_matrix', 'aztec', 'code_128', 'code_39', 'ean_13'];
          }
          async detect() { return !window.lit ? [] : [{ rawValue: 'https://elsewhere.example/o/${number}' }]; }
        };
        navigator.mediaDevices.getUserMedia = async () => {
          const canvas = document.createElement('canvas');
          canvas.getContext('2d').fillRect(0, 0, 9, 9);
          const stream = canvas.captureStream(30);
          const [track] = stream.getVideoTracks();
          track.getCapabilities = () => ({ torch: true });
          track.applyConstraints = async ({ advanced: [{ torch }] }) => { window.lit = torch; };
          return stream;
        };`);
      await page.goto('/bench');
      await page.getByRole('button', { name: 'Scan with the camera' }).click();
      await lookAtBench(page, 'bench-camera');
      // Too dark to read anything: the light is switched on.
      await page.getByRole('button', { name: 'Light' }).click();
      await heading(page, number);
      await page.getByText('No check socket is on the bench.').waitFor();
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a finding is reported, and stops the operation if it is to', async () => {
      const socketId = await sealedWithoutLock(shop);
      const { page, complaints } = await phone();
      await page.goto(`/bench/${socketId}`);
      await page.getByRole('link', { name: 'Report a finding' }).click();
      await answer(page, 'What is wrong', 'crack');
      await page.getByLabel('What you see, and where').fill('Hairline across the distal end.');
      await answer(page, 'Does it stop “Lay up the fabrics”?', 'Yes');
      await lookAtBench(page, 'bench-finding');
      await press(page, 'Report it');
      await page.getByText('Hairline across the distal end.').waitFor();
      await page.getByText('Stopped by a finding.').waitFor();
      expect((await readSocket(shop, socketId)).openFindings).toMatchObject([{ kind: 'crack' }]);
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('the head takes one line; behind its button are the pages, the way out and a page for a dark shop', async () => {
      const socketId = await laidUpWithoutLock(shop);
      const { page, complaints } = await phone();
      await page.goto(`/bench/${socketId}`);
      await heading(page, 'Mix, pour and draw the resin through');
      const headHigh = (): Promise<number> =>
        page.evaluate<number>(`document.querySelector('header').getBoundingClientRect().height`);
      expect(await headHigh()).toBeLessThanOrEqual(HEAD_MOST_PX);
      expect(await page.getByRole('button', { name: 'Sign out' }).isVisible()).toBe(false);
      await press(page, 'Menu');
      await page.getByRole('button', { name: 'Sign out' }).waitFor();
      await lookAtBench(page, 'bench-menu');
      await press(page, 'Dark page');
      await lookAtBench(page, 'bench-dark-menu');
      // Turned to another page, the menu is closed; dark it stays, through a reload as well.
      await page.getByRole('link', { name: 'Bench' }).click();
      await page.getByLabel('Order number on the traveller').waitFor();
      expect(await headHigh()).toBeLessThanOrEqual(HEAD_MOST_PX);
      await page.goto(`/bench/${socketId}/resin`);
      await page.getByLabel(/Temperature of the shop/).waitFor();
      expect(
        await page.evaluate<string>(
          'getComputedStyle(document.querySelector("main")).backgroundColor',
        ),
      ).toBe('rgb(21, 21, 19)');
      await lookAtBench(page, 'bench-dark');
      await page.goto(`/bench/${socketId}/finding`);
      await press(page, 'Report it');
      await page.locator('.against').first().waitFor();
      await lookAtBench(page, 'bench-dark-against');
      await press(page, 'Menu');
      await press(page, 'White page');
      await press(page, 'Sign out');
      await page.getByLabel('E-mail address').waitFor();
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    const resinOf = (socketId: string): Promise<ResinBody> =>
      ok<ResinBody>(clinic.as('technician').get(`/api/v1/sockets/${socketId}/resin`));
  },
);

/** Another check character than the right one. */
const mistyped = (number: string): string =>
  number.slice(0, -1) + (number.endsWith('A') ? 'B' : 'A');

const heading = (page: Page, name: string | RegExp): Promise<void> =>
  page.getByRole('heading', { name }).waitFor();

const press = (page: Page, name: string): Promise<void> =>
  page.getByRole('button', { name, exact: true }).click();

const answer = (page: Page, ask: string | RegExp, words: string): Promise<void> =>
  page.getByRole('group', { name: ask }).getByText(words, { exact: true }).click();

async function said(where: Locator, words: string): Promise<void> {
  await where.filter({ hasText: words }).first().waitFor();
}

async function turn(
  page: Page,
  screw: number,
  pass: number,
  value: string,
  unit = 'N·m',
): Promise<void> {
  await heading(page, `Screw ${String(screw)} · pass ${String(pass)} / 3`);
  await page.getByLabel(`What the tool shows (${unit})`).fill(value);
  await press(page, 'Next screw');
}

/** A picture, axe's say, and nothing that a glove would miss or that runs over the edge. */
async function lookAtBench(page: Page, name: string): Promise<void> {
  await lookAt(page, name);
  await expectStrongContrast(page);
  const small = await page.evaluate<string[]>(`
    [...document.querySelectorAll(${JSON.stringify(TOUCHED)})].flatMap((each) => {
      const { width, height } = each.getBoundingClientRect();
      const large = width >= ${String(LEAST_PX)} && height >= ${String(LEAST_PX)};
      return width === 0 || large ? [] : [each.outerHTML.slice(0, 80) + ' ' + width + ' × ' + height];
    })`);
  expect(small).toEqual([]);
  const overEdge = await page.evaluate<number>(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  );
  expect(overEdge).toBe(0);
}
