/**
 * The prosthetist's day on the screens of the fitting room: cast, measures on two days, a fit
 * refused and another accepted, the layup, the gate with the way to each missing thing, the
 * signed delivery; a sign-in that ends in the middle, and two people who want one lock.
 */
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
  acceptedCast,
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
    const password = () => page.getByLabel('Your password, for this signature');
    const shown = () => page.getByRole('region', { name: 'What you sign' });
    /** Asks for what would be signed, and waits until it stands there. */
    const show = async (): Promise<string> => {
      await press('Show what I sign');
      await password().waitFor();
      return (await shown().textContent()) ?? '';
    };
    const typePassword = (): Promise<void> => password().fill(clinic.people.prosthetist.password);
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
      await page.getByLabel('Taken on').fill('2026-02-27');
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

      await page.getByText('Compare two days').click();
      const compared = page.locator('details.compare');
      await compared.getByRole('img').waitFor();
      await compared.getByText('Fri, 27 Feb 2026 – Mon, 2 Mar 2026').waitFor();
      // 0.97 of each circumference is 0.94 of the volume: some 6 % less.
      await compared.getByText(/−\d+ mL \(−[56]\.\d %\)/).waitFor();
      await compared.getByText('This is past the clinic’s limit of 5 %.').waitFor();
      await compared.getByRole('cell', { name: '−9 mm' }).first().waitFor();
      await lookAt(page, 'prosthetist-compare-desk');
      await onThePhone('compare');
    });

    test('a fit is refused: reasons and places by the keyboard or on the drawn limb, another socket next', async () => {
      const first = await checkSocketOnTheLimb(shop, order.orderId);
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
      // Ticked by the keyboard alone, in a group that says what it asks; marked on the drawing.
      const places = page.getByRole('group', { name: /^Where on the limb/ });
      await places.getByRole('checkbox', { name: 'end of the tibia' }).focus();
      await page.keyboard.press('Space');
      expect(await page.locator('.limb-map .area.marked').count()).toBe(2);
      await page.getByLabel('What is to be changed').fill('Flare it at the head of the fibula.');
      await page.getByLabel('another check socket').check();
      await lookAt(page, 'prosthetist-refuse-desk');
      await onThePhone('refuse');
      await press('Refuse the fit');
      await said(/is refused/);
      expect((await readSocket(shop, first.socketId)).state).toBe('rejected');
    });

    test('the second check socket is accepted: a wrong password signs nothing, a sign-in that ends loses nothing', async () => {
      check = await checkSocketOnTheLimb(shop, order.orderId);
      await page.goto(`/sockets/${check.socketId}/fit`);
      await page.getByLabel('is accepted').check();
      await typeAlignment();
      await page
        .getByRole('img', { name: /Alignment of socket/ })
        .first()
        .waitFor();
      await page.getByLabel('Note').fill('Walks well.');
      const content = await show();
      for (const each of ['pyramid', 'Pyramid, four-hole serial', '5°', '312 mm', 'Walks well.']) {
        expect(content).toContain(each);
      }
      expect(content).toMatch(/Fingerprint of this content \(SHA-256\): [0-9a-f]{64}/);
      expect(content).toContain('Paula Fitting of KL: I judged this fit');
      // What is typed after it was shown has not been seen.
      await page.getByLabel('Note').fill('Walks well, a little toe-out.');
      expect(await password().count()).toBe(0);
      expect(await show()).toContain('a little toe-out');

      await password().fill('not mine');
      await press('Sign and accept the fit');
      await page
        .getByText(/this one is not it/)
        .first()
        .waitFor();
      expect(await password().getAttribute('aria-invalid')).toBe('true');
      expect(await page.getByLabel(/^Flexion,/).inputValue()).toBe('5');
      await typePassword();
      await lookAt(page, 'prosthetist-accept-desk');
      await onThePhone('accept');

      // Twelve idle hours: the sign-in has ended before the signature is sent.
      clinic.clock.pass(12 * 60 + 1);
      await press('Sign and accept the fit');
      await page.getByText('Your sign-in has ended.').waitFor();
      await lookAt(page, 'prosthetist-signed-out-desk');
      await page.getByLabel('E-mail address').fill(clinic.people.prosthetist.email);
      await page.getByLabel('Password', { exact: true }).fill(clinic.people.prosthetist.password);
      await press('Sign in');
      await said(/is accepted and signed/);
      expect(await readSocket(shop, check.socketId)).toMatchObject({
        state: 'accepted',
        order: { stage: 'lamination' },
      });
    });

    test('the layup is drafted as proposed, changed with a reason, and approved by signature', async () => {
      await page.goto(`/orders/${order.orderId}/delivery`);
      await page.getByText(/has no definitive socket in work/).waitFor();
      await page.getByRole('link', { name: 'To begin it at the bench' }).click();
      await page.getByRole('button', { name: /definitive/i }).waitFor();

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
      const content = await show();
      for (const each of ['Lifts at work.', 'Carbon braid 150 mm', '82 kg', 'Cut list']) {
        expect(content).toContain(each);
      }
      await typePassword();
      await lookAt(page, 'prosthetist-layup-desk');
      await onThePhone('layup');
      await press('Sign and approve layup 2');
      await page.getByRole('heading', { name: 'Layup 2: approved' }).waitFor();
    });

    test('the gate names all that is missing, and each way leads to where it is done', async () => {
      await toTheHardware();
      const { findingId } = await ok<{ findingId: string }>(
        clinic.as('technician').post(`/api/v1/sockets/${definitiveId}/findings`, {
          kind: 'rattle',
          note: 'Rattles when tapped.',
        }),
      );
      await page.goto(`/orders/${order.orderId}/delivery`);
      const { missing } = await gate(shop, order.orderId);
      await page.getByRole('heading', { name: `${missing.length} things are missing` }).waitFor();
      expect(await page.locator('.missing > li').count()).toBe(missing.length);
      await lookAt(page, 'prosthetist-gate-desk');
      await onThePhone('gate');

      const ways = new Map<string, string>();
      for (const link of await page.locator('.missing a').all()) {
        ways.set((await link.textContent()) ?? '', (await link.getAttribute('href')) ?? '');
      }
      expect(Object.fromEntries(ways)).toMatchObject({
        'To the joint': expect.stringMatching(`/bench/${definitiveId}/joints/`) as string,
        'To the lock check': `/bench/${definitiveId}/lock`,
        'To the alignment': `/sockets/${definitiveId}/fit`,
        'To the socket at the bench': `/bench/${definitiveId}`,
      });
      for (const [name, href] of ways) {
        await page.goto(`/orders/${order.orderId}/delivery`);
        await page.getByRole('link', { name }).first().click();
        await page.waitForURL(`**${href}`);
        await page.locator('main', { hasText: `${order.number}/D1` }).waitFor();
        expect(await page.getByRole('alert').count(), href).toBe(0);
      }

      await page.goto(`/orders/${order.orderId}/delivery`);
      await page.getByText(/^Accept the finding as it is: rattle/).click();
      await page.getByLabel('Why', { exact: true }).fill('It is the spare pin in the bag.');
      expect(await show()).toContain('Rattles when tapped.');
      await typePassword();
      await lookAt(page, 'prosthetist-finding-desk');
      await press('Sign and accept the finding');
      await said('The finding is accepted as it is, and signed.');
      const closed = await clinic.store.raw('select disposition from finding where id = $1', [
        findingId,
      ]);
      expect(closed).toEqual([{ disposition: 'accept_as_is' }]);
    });

    test('measured two degrees off, the alignment is accepted by signature', async () => {
      await ok(checkLock(shop, definitiveId));
      await ok(torque(shop, definitiveId));
      await doOperations(shop, definitiveId, ['check_lock', 'torque_joints']);
      await page.goto(`/sockets/${definitiveId}/fit`);
      await typeAlignment();
      await page.getByLabel(/^Flexion,/).fill('7');
      await press('Record the alignment');
      await said(/is on record/);
      await page.getByRole('cell', { name: 'outside' }).waitFor();
      await page.getByLabel('Why', { exact: true }).fill('Knee flexes more since.');
      expect(await show()).toMatch(
        /Flexion.*7°.*Knee flexes more since\.|Knee flexes more since\..*7°/s,
      );
      await typePassword();
      await lookAt(page, 'prosthetist-alignment-desk');
      await press('Sign and accept the difference');
      await said('The difference is accepted');
      await doOperations(shop, definitiveId, ['measure_alignment', 'finish']);
    });

    test('the delivery is signed as it stands, not as it stood when it was shown', async () => {
      await page.goto(`/orders/${order.orderId}/delivery`);
      await page.getByText('Nothing is missing').waitFor();
      await page.getByRole('button', { name: 'The patient' }).click();
      expect(await page.getByLabel('Received by').inputValue()).toMatch(/^Nomen\d+ Inventum/);
      expect(await show()).toContain('82 kg');
      await typePassword();
      // Meanwhile the patient is weighed at the desk.
      const weighed = { massKg: 83.5, measuredOn: '2026-03-02' };
      await ok(
        clinic.as('front_desk').post(`/api/v1/patients/${order.patientId}/body-masses`, weighed),
      );
      await press('Sign and deliver');
      await page.getByText(/has changed since it was shown to you/).waitFor();
      await shown().getByText('This is not what you saw before').waitFor();
      await shown().getByText('83.5 kg').waitFor();
      expect((await readSocket(shop, definitiveId)).state).toBe('in_work');
      await lookAt(page, 'prosthetist-changed-desk');

      await typePassword();
      await lookAt(page, 'prosthetist-deliver-desk');
      await onThePhone('deliver');
      await press('Sign and deliver');
      await said(/is delivered and signed/);
      expect((await readSocket(shop, definitiveId)).state).toBe('delivered');
      await lookAt(page, 'prosthetist-delivered-desk');
      expect(complaints).toEqual([]);
    });

    test('two people want one lock: one puts it in, the other is told where it went', async () => {
      const sockets = await Promise.all([emptyCheckSocket(), emptyCheckSocket()]);
      const [lock = ''] = await shop.receive('lock', 1);
      const bench = await openPage(browser, clinic, 'phone');
      await signInAs(bench.page, clinic.people.technician);
      const hands = [page, bench.page];
      for (const [at, each] of hands.entries()) {
        await each.goto(`/bench/${sockets[at]?.id ?? ''}/hardware`);
        await each.getByRole('button', { name: 'put in: lock', exact: true }).click();
        await each.getByLabel(/Which/).selectOption({ value: lock });
      }
      await Promise.all(
        hands.map((each) => each.getByRole('button', { name: 'Put it in' }).click()),
      );
      const told = (each: Page) => each.getByRole('alert');
      const held = (each: Page) => each.getByRole('button', { name: /^take out: Shuttle lock/ });
      for (const each of hands) await told(each).or(held(each)).first().waitFor();
      const winners = await Promise.all(hands.map((each) => held(each).count()));
      expect(winners.toSorted()).toEqual([0, 1]);
      const won = winners.indexOf(1);
      const loser = hands[1 - won] ?? page;
      const words = await told(loser).textContent();
      expect(words).toContain(sockets[won]?.number);
      await lookAt(loser, 'prosthetist-race-lost');
      expect(bench.complaints).toEqual([]);
    });

    /** A check socket of another order, formed and trimmed: its hardware is next. */
    async function emptyCheckSocket(): Promise<{ id: string; number: string }> {
      const other = await openedOrder(shop);
      await acceptedCast(shop, other.orderId);
      const socket = await makeSocket(shop, other.orderId, { kind: 'check', sheetThicknessMm: 12 });
      await doOperations(shop, socket.id, ['prepare_model', 'thermoform', 'trim_edges']);
      return socket;
    }

    /** The bench laminates and moves the hardware over; lock, joints and alignment are left. */
    async function toTheHardware(): Promise<void> {
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
    }
  },
);
