/** Two people at once: what one does, the other sees, and loses nothing by it. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { spokenToAt, testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openMenu,
  openPage,
  signInAs,
  SIZES,
} from '../support/browser.ts';
import { addPatient, openOrder } from '../support/orders.ts';
import { Relay } from '../support/relay.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let relay: Relay;
    let page: Page;
    let complaints: string[];
    let context: BrowserContext;
    let order: { id: string; number: string };
    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      relay = await Relay.to(clinic.address);
      const { id: patientId } = await addPatient(clinic);
      order = await openOrder(clinic, { patientId });
      ({ page, complaints } = await openPage(browser, spokenToAt(clinic, relay.address), 'desk'));
      context = page.context();
      await signInAs(page, clinic.people.front_desk);
    });
    afterAll(async () => {
      await context.close();
      await relay.close();
      await clinic.close();
      await browser.close();
    });

    const technician = () => clinic.as('technician');
    const mark = () => page.locator('.head .live');

    test('an order that somebody opens comes into the list by itself', async () => {
      await page.getByText(order.number).first().waitFor();
      const next = await openOrder(clinic);
      await page.getByText(next.number).first().waitFor();
      expect(await mark().textContent()).toBe('');
    });

    test('an open order page follows the bench', async () => {
      await page.goto(`/orders/${order.id}`);
      await page.getByRole('heading', { name: order.number }).waitFor();
      await technician()
        .post(`/api/v1/orders/${order.id}/hold`, { holdReason: 'parts_awaited' })
        .expect(200);
      await page.locator('.problem').getByText('parts awaited').waitFor();
      await technician().post(`/api/v1/orders/${order.id}/resume`, {}).expect(200);
      await page.locator('.problem').getByText('parts awaited').waitFor({ state: 'detached' });
    });

    test('what is typed stays until it is sent; others’ work waits, and says that it does', async () => {
      await page.getByText('Put on hold').first().click();
      const note = page.getByLabel(/note/i).first();
      await note.fill('The patient called: a week away.');
      await technician()
        .post(`/api/v1/orders/${order.id}/hold`, { holdReason: 'parts_awaited' })
        .expect(200);
      await mark().getByText('Others have changed something here').waitFor();
      expect(await note.inputValue()).toBe('The patient called: a week away.');
      await lookAt(page, 'live-held-back');
      await lookAtOnPhone(page, 'live-held-back-phone');
      // The work has the phone's page, whatever the head has to say.
      await page.setViewportSize(SIZES.phone);
      expect((await page.locator('header').boundingBox())?.height).toBeLessThanOrEqual(64);
      await page.setViewportSize(SIZES.desk);
      await mark().getByRole('button', { name: 'Show it now' }).click();
      await page.locator('.problem').getByText('parts awaited').waitFor();
      await technician().post(`/api/v1/orders/${order.id}/resume`, {}).expect(200);
    });

    test('a page that is not live says so, and catches up when the service is heard again', async () => {
      await page.goto('/');
      await page.getByText(order.number).first().waitFor();
      relay.cut();
      await mark().getByText('Not live').waitFor();
      await lookAt(page, 'live-lost');
      const meanwhile = await openOrder(clinic);
      relay.mend();
      await page.getByText(meanwhile.number).first().waitFor();
      await expect.poll(() => mark().textContent()).toBe('');
    });

    test('a trace is not asked again by itself, and says that it is old', async () => {
      const traces = () =>
        clinic.store
          .raw<{ n: number }>(
            `select count(*)::int as n from event where clinic_id = $1 and kind = 'trace.read'`,
            [clinic.clinicId],
          )
          .then(([row]) => row?.n);
      await page.goto(`/trace?by=order&key=${order.number}`);
      await page.getByRole('heading', { name: /Order/ }).first().waitFor();
      await page.getByRole('region', { name: 'Answer' }).waitFor();
      const asked = await traces();
      await technician()
        .post(`/api/v1/orders/${order.id}/hold`, { holdReason: 'parts_awaited' })
        .expect(200);
      await page.getByText('Something was recorded since this was asked.').waitFor();
      expect(await traces()).toBe(asked);
      await lookAt(page, 'live-trace-old');
      await page.getByRole('button', { name: 'Ask again' }).click();
      await page
        .getByText('Something was recorded since this was asked.')
        .waitFor({ state: 'detached' });
      await expect.poll(traces).toBe((asked ?? 0) + 1);
    });

    test('who signs out is told no more, and nothing complained', async () => {
      await openMenu(page);
      await page.getByRole('button', { name: 'Sign out' }).click();
      await page.getByRole('button', { name: 'Sign in' }).waitFor();
      expect(complaints).toEqual([]);
    });
  },
);
