/** The prosthetist's day: from the cast to the delivered limb, on the screens of the fitting room. */
import type { Browser, Page } from 'playwright-core';
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
import {
  checkLock,
  checkSocketOnTheLimb,
  doOperations,
  gate,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  openedOrder,
  readSocket,
  stockedShop,
  torque,
  transferTo,
  weighedResin,
  type Hardware,
  type Shop,
} from '../support/job.ts';

/** Typed in centimetres, as the tape reads. */
const TAPE_CM = ['23,2', '26.8', '29.7', '32.1', '33.8'];
const ALIGNMENT: readonly (readonly [field: string, value: string])[] = [
  ['Flexion', '5'],
  ['Adduction', '3'],
  ['Offset to the front', '12'],
  ['Offset outwards', '-4'],
  ['Toe-out', '6'],
  ['Height to the floor', '312'],
];

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let shop: Shop;
    let order: Awaited<ReturnType<typeof openedOrder>>;
    let page: Page;
    let complaints: string[];
    let check: { socketId: string; hardware: Hardware };
    let definitiveId: string;

    const press = (name: string | RegExp): Promise<void> =>
      page.getByRole('button', { name }).click();
    const said = (words: string | RegExp): Promise<void> =>
      page.getByRole('status').filter({ hasText: words }).waitFor();
    const sign = (): Promise<void> =>
      page.getByLabel('Your password, for this signature').fill(clinic.people.prosthetist.password);
    const typeAlignment = async (): Promise<void> => {
      for (const [field, value] of ALIGNMENT) {
        await page.getByLabel(new RegExp(`^${field},`)).fill(value);
      }
    };
    const onThePhone = (name: string): Promise<void> =>
      lookAtOnPhone(page, `prosthetist-${name}-phone`);

    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
      order = await openedOrder(shop);
      browser = await launch();
      ({ page, complaints } = await openPage(browser, clinic, 'desk'));
      // The browser's day is the clinic's.
      await page.clock.setFixedTime(clinic.clock.now());
      await signInAs(page, clinic.people.prosthetist);
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    test('the cast is typed in centimetres, questioned beside its row, drawn, recorded and accepted', async () => {
      await page.goto(`/orders/${order.orderId}`);
      await page.getByRole('link', { name: 'Cast and measures' }).click();
      await page.getByText('No cast is on record').waitFor();
      await page.getByLabel('plaster').check();
      await page.getByText('cm', { exact: true }).click();
      await page.getByLabel('Length of the limb, cm').fill('16.5');
      // By the keys alone, up the limb: Enter goes on to the next row.
      await page.getByLabel('Circumference of row 1', { exact: true }).focus();
      for (const around of TAPE_CM) {
        await page.keyboard.type(around);
        await page.keyboard.press('Enter');
      }
      const volume = page.locator('.drawn dd').first();
      const sound = await volume.textContent();
      expect(sound).toMatch(/^1\d{3} mL$/);

      // A slip of the keys: half as much again as its neighbour.
      const third = page.getByLabel('Circumference of row 3', { exact: true });
      await third.fill('49.7');
      await page
        .getByText(/off its neighbour only 40 mm below/)
        .first()
        .waitFor();
      expect(await third.getAttribute('aria-invalid')).toBe('true');
      expect(await volume.textContent()).not.toBe(sound);
      await lookAt(page, 'prosthetist-cast-questioned-desk');
      await third.fill('29.7');

      // Millimetres and back change nothing.
      await page.getByText('in', { exact: true }).click();
      expect(await page.getByLabel('Circumference of row 1', { exact: true }).inputValue()).toBe(
        '9.13',
      );
      await page.getByText('mm', { exact: true }).click();
      expect(await page.getByLabel('Circumference of row 1', { exact: true }).inputValue()).toBe(
        '232',
      );
      expect(await volume.textContent()).toBe(sound);
      await lookAt(page, 'prosthetist-cast-desk');
      await onThePhone('cast');

      await press('Record the cast');
      await said('Cast 1 is on record');
      const { items } = await ok<{ items: { measures: { circumferenceMm: number }[] }[] }>(
        clinic.as('auditor').get(`/api/v1/orders/${order.orderId}/casts`),
      );
      expect(items[0]?.measures.map((each) => each.circumferenceMm)).toEqual([
        232, 268, 297, 321, 338,
      ]);
      await press('Accept cast 1');
      await said('Cast 1 is accepted');
      await page.getByRole('heading', { name: 'Cast 1: accepted' }).waitFor();
    });

    test('what the service refuses stands beside its field, and nothing typed is lost', async () => {
      await page.goto(`/orders/${order.orderId}/cast`);
      await page.getByLabel('measures at a fitting').check();
      await page.getByLabel('Length of the limb, mm').fill('165');
      await page.getByLabel('Taken on').fill('2026-03-09');
      for (const [at, around] of [226, 260, 288, 311, 328].entries()) {
        await page
          .getByLabel(`Circumference of row ${at + 1}`, { exact: true })
          .fill(String(around));
      }
      await press('Record the measures');
      await page.getByRole('alert').waitFor();
      const day = page.getByLabel('Taken on');
      await expect.poll(() => day.getAttribute('aria-invalid')).toBe('true');
      expect(await page.locator('input:focus').getAttribute('type')).toBe('date');
      expect(await page.getByLabel('Circumference of row 5', { exact: true }).inputValue()).toBe(
        '328',
      );
      await day.fill('2026-03-02');
      await press('Record the measures');
      // 6 % less than at the cast: past what the clinic lets pass.
      await page.getByRole('heading', { name: 'The limb since its cast' }).waitFor();
      await page.getByText(/the limb has lost/).waitFor();
      await page.getByLabel('socks').check();
      await page.getByLabel('Why', { exact: true }).fill('Came without the shrinker.');
      await press('Record the decision');
      await page.getByText(/Paula Fitting of KL decided: socks/).waitFor();
      await lookAt(page, 'prosthetist-limb-change-desk');
    });

    test('a fit is refused with the places marked, and the changed socket is accepted by signature', async () => {
      check = await checkSocketOnTheLimb(shop, order.orderId);
      await page.goto(`/orders/${order.orderId}`);
      const fit = page.getByRole('link', { name: 'Fit', exact: true });
      await fit.waitFor();
      await lookAt(page, 'prosthetist-order-desk');
      await fit.click();
      await page.getByLabel('is refused').check();
      await page.getByLabel('skin redness').check();
      await page.getByLabel('too tight').check();
      // Touched on the drawing, ticked in the list.
      await page.locator('.limb-map .area', { hasText: '4' }).click();
      expect(await page.getByLabel('head of the fibula').isChecked()).toBe(true);
      await page.getByLabel('end of the tibia').check();
      await page.getByLabel('What is to be changed').fill('Flare it at the head of the fibula.');
      await page.getByLabel('the same socket, changed').check();
      await lookAt(page, 'prosthetist-refuse-desk');
      await onThePhone('refuse');
      await press('Refuse the fit');
      await said(/is refused/);

      await page.getByLabel('is accepted').check();
      await typeAlignment();
      await page
        .getByRole('img', { name: /Alignment of socket/ })
        .first()
        .waitFor();
      await page.getByLabel('Note').fill('Walks well.');
      const signed = page.getByRole('group', { name: 'What you sign' });
      await signed.getByText(/pyramid: /).waitFor();
      for (const each of ['5°', '312 mm', 'Walks well.', 'Paula Fitting of KL']) {
        expect(await signed.textContent()).toContain(each);
      }
      await page.getByLabel('Your password, for this signature').fill('not mine');
      await press('Sign and accept the fit');
      await page
        .getByText(/this one is not it/)
        .first()
        .waitFor();
      const password = page.getByLabel('Your password, for this signature');
      expect(await password.getAttribute('aria-invalid')).toBe('true');
      expect(await page.getByLabel(/^Flexion,/).inputValue()).toBe('5');
      await sign();
      await lookAt(page, 'prosthetist-accept-desk');
      await onThePhone('accept');
      await press('Sign and accept the fit');
      await said(/is accepted and signed/);
      expect(await readSocket(shop, check.socketId)).toMatchObject({
        state: 'accepted',
        order: { stage: 'lamination' },
      });
    });

    test('the layup is drafted as proposed, changed with a reason, and approved by signature', async () => {
      const socket = await makeSocket(shop, order.orderId, { kind: 'definitive' });
      definitiveId = socket.id;
      await doOperations(shop, definitiveId, ['prepare_model', 'seal_model']);
      await page.goto(`/sockets/${definitiveId}/layup`);
      await page.getByRole('heading', { name: 'What the rules propose' }).waitFor();
      await page.getByRole('img', { name: /Layup 1 of/ }).waitFor();
      await lookAt(page, 'prosthetist-layup-proposed-desk');
      await press('Draft it as proposed');
      await page.getByRole('heading', { name: 'Layup 1: draft, not approved' }).waitFor();

      await page.getByText('Change the layup').click();
      await page.getByLabel('Layers of line 4').fill('4');
      await press('Draft this layup');
      const why = page.getByRole('group').getByLabel('Why', { exact: true });
      await expect.poll(() => why.getAttribute('aria-invalid')).toBe('true');
      await why.fill('Lifts at work.');
      await press('Draft this layup');
      await page.getByRole('heading', { name: 'Layup 2: draft, not approved' }).waitFor();
      await page.getByRole('img', { name: /Section of layup 2/ }).waitFor();
      const signed = page.getByRole('group', { name: 'What you sign' });
      expect(await signed.textContent()).toContain('Lifts at work.');
      await sign();
      await lookAt(page, 'prosthetist-layup-desk');
      await onThePhone('layup');
      await press('Sign and approve layup 2');
      await page.getByRole('heading', { name: 'Layup 2: approved' }).waitFor();
    });

    test('the delivery says all that is missing with its way; aligned and complete, it is signed', async () => {
      await page.goto(`/orders/${order.orderId}/delivery`);
      await page.getByRole('heading', { name: /\d+ things are missing/ }).waitFor();
      const { missing } = await gate(shop, order.orderId);
      expect(await page.locator('.missing > li').count()).toBe(missing.length);
      const alignment = page.getByRole('link', { name: 'To the alignment' });
      expect(await alignment.getAttribute('href')).toBe(`/sockets/${definitiveId}/fit`);
      await lookAt(page, 'prosthetist-gate-desk');
      await onThePhone('gate');

      await toTheLastMeasure();
      await page.goto(`/sockets/${definitiveId}/fit`);
      await typeAlignment();
      // Two degrees off the accepted one.
      await page.getByLabel(/^Flexion,/).fill('7');
      await press('Record the alignment');
      await said(/is on record/);
      await page.getByRole('cell', { name: 'outside' }).waitFor();
      await page.getByLabel('Why', { exact: true }).fill('Knee flexes more since.');
      await sign();
      await lookAt(page, 'prosthetist-alignment-desk');
      await press('Sign and accept the difference');
      await said('The difference is accepted');

      await doOperations(shop, definitiveId, ['measure_alignment', 'finish']);
      await page.goto(`/orders/${order.orderId}/delivery`);
      await page.getByText('Nothing is missing').waitFor();
      await page.getByRole('button', { name: 'The patient' }).click();
      expect(await page.getByLabel('Received by').inputValue()).toMatch(/^Nomen\d+ Inventum/);
      await sign();
      await lookAt(page, 'prosthetist-deliver-desk');
      await onThePhone('deliver');
      await press('Sign and deliver');
      await said(/is delivered and signed/);
      expect((await readSocket(shop, definitiveId)).state).toBe('delivered');
      expect(complaints).toEqual([]);
    });

    /** The bench laminates, moves the hardware over, checks and torques it: only the alignment is left. */
    async function toTheLastMeasure(): Promise<void> {
      const dummy = { shopToolId: shop.dummy };
      const inside = inPosition(definitiveId, 'dummy');
      await ok(move(shop, dummy, inBin(shop), inside, 'mounted_for_lamination'));
      await doOperations(shop, definitiveId, ['mount_dummy', 'lay_up']);
      await weighedResin(shop, definitiveId);
      await doOperations(shop, definitiveId, ['laminate', 'cure', 'grind_flush']);
      await ok(move(shop, dummy, inside, inBin(shop), 'pulled_after_cure'));
      await doOperations(shop, definitiveId, ['pull_dummy', 'break_out_model', 'inspect_chamber']);
      await transferTo(shop, check.socketId, definitiveId, check.hardware);
      await doOperations(shop, definitiveId, ['trim_edges', 'fit_hardware']);
      await ok(checkLock(shop, definitiveId));
      await ok(torque(shop, definitiveId));
      await doOperations(shop, definitiveId, ['check_lock', 'torque_joints']);
    }
  },
);
