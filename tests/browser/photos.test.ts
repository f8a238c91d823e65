/** Photos at the bench: taken, scaled down, looked at, sent with their finding, and seen by those who decide. */
import { createCanvas } from '@napi-rs/canvas';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { judgePicture } from '../../src/domain/pictures.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { launch, lookAt, noBrowser, openPage, signInAs } from '../support/browser.ts';
import {
  acceptedCast,
  makeSocket,
  ok,
  openedOrder,
  sealedWithoutLock,
  stockedShop,
  type Shop,
} from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `photos${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
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

    const phoneAt = async (address: string) => {
      const watched = await openPage(browser, clinic, 'phone');
      await signInAs(watched.page, clinic.people.technician);
      await watched.page.goto(address);
      return watched;
    };
    const take = (page: Page, label: string, buffer: Buffer): Promise<void> =>
      page.getByLabel(label).setInputFiles({ name: 'IMG_1.jpg', mimeType: 'image/jpeg', buffer });

    test('a finding goes with its photos, scaled down and without where they were taken', async () => {
      const socketId = await sealedWithoutLock(shop);
      const { page, complaints } = await phoneAt(`/bench/${socketId}/finding`);
      await page.getByRole('group', { name: 'What is wrong' }).getByText('crack').click();
      await page.getByLabel('What you see, and where').fill('Hairline across the distal end.');
      const taken = fromPhone(1);
      expect(judgePicture(taken)).toMatchObject({ reasons: [{ code: 'picture-tells-more' }] });
      await take(page, 'Photo of it', taken);
      await page.getByAltText('photo 1').waitFor();
      await take(page, 'One more photo', fromPhone(2));
      await page.getByAltText('photo 2').waitFor();
      await take(page, 'One more photo', Buffer.from('no picture at all'));
      await page.getByText('That file is no picture').waitFor();
      await lookAt(page, 'bench-photos');
      // What was taken is still there when the page is turned to again; one is taken out.
      await page.reload();
      await page.getByAltText('photo 2').waitFor();
      await page.getByRole('button', { name: 'Take it out: photo 2' }).click();
      await page.getByAltText('photo 2').waitFor({ state: 'detached' });
      await page.getByRole('button', { name: 'Report it' }).click();
      await page.getByText('1 photo', { exact: true }).click();
      await page.getByAltText('Hairline across the distal end.').waitFor();
      await lookAt(page, 'bench-finding-photo');

      const { items } = await ok<{ items: Record<string, unknown>[] }>(
        clinic.as('technician').get(`/api/v1/sockets/${socketId}/photos`),
      );
      // Kept at all, so without Exif: the service refuses what has any.
      expect(items).toMatchObject([{ mediaType: 'image/jpeg', widthPx: 1600, heightPx: 1200 }]);
      expect(complaints).toEqual([]);
      await page.context().close();

      // The auditor finds it in the trace of the order, the front desk sees none.
      const { body } = await clinic.as('technician').get(`/api/v1/sockets/${socketId}`);
      const auditor = await openPage(browser, clinic, 'desk');
      await signInAs(auditor.page, clinic.people.auditor);
      await auditor.page.goto(`/trace?by=order&key=${String(body.order.number)}`);
      await auditor.page.getByText('1 photo', { exact: true }).click();
      await auditor.page.locator('img.photo').waitFor();
      expect(auditor.complaints).toEqual([]);
      await auditor.page.context().close();
      const desk = await openPage(browser, clinic, 'desk');
      await signInAs(desk.page, clinic.people.front_desk);
      await desk.page.goto(`/orders/${String(body.order.id)}`);
      await desk.page.getByRole('cell', { name: /D1/ }).waitFor();
      expect(await desk.page.getByText('1 photo').count()).toBe(0);
      expect(desk.complaints).toEqual([]);
      await desk.page.context().close();
    });

    test('an operation that asks for a photo and a scan is done with both', async () => {
      const admin = clinic.as('administrator');
      const { body } = await admin.get('/api/v1/routes');
      interface WorkRoute {
        readonly socketKind: string;
        readonly suspension: string;
        readonly version: number;
        readonly operations: readonly { readonly seq?: number }[];
      }
      const route = (body.items as WorkRoute[]).find(
        ({ socketKind, suspension }) => socketKind === 'check' && suspension === 'pin_lock',
      );
      const [first, ...others] = (route?.operations ?? []).map(({ seq: _, ...rest }) => rest);
      const checks = [
        { kind: 'scan', key: 'sheet', ask: 'The code of the traveller', of: 'traveller' },
        { kind: 'photo', key: 'model', ask: 'Photo of the model' },
      ];
      await ok(
        admin.post('/api/v1/routes', {
          name: 'With a photo',
          socketKind: 'check',
          suspension: 'pin_lock',
          basedOnVersion: route?.version,
          operations: [{ ...first, checks }, ...others],
        }),
      );
      const { orderId, number } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const { id } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
      const { page, complaints } = await phoneAt(`/bench/${id}`);
      await page.getByLabel('The code of the traveller').fill((await openedOrder(shop)).number);
      await page.getByRole('button', { name: 'Done' }).click();
      await page.locator('.against').first().waitFor();
      await take(page, 'Photo of the model', fromPhone(3));
      await page.getByAltText('photo 1').waitFor();
      await page.getByRole('button', { name: 'Done' }).click();
      await page
        .getByText(/expects the traveller of/)
        .first()
        .waitFor();
      await lookAt(page, 'bench-scan-and-photo');
      await page.getByLabel('The code of the traveller').fill(number);
      await page.getByRole('button', { name: 'Done' }).click();
      await page.getByRole('heading', { name: 'Form the check socket over the model' }).waitFor();
      const { items } = await ok<{ items: Record<string, unknown>[] }>(
        clinic.as('technician').get(`/api/v1/sockets/${id}/photos`),
      );
      expect(items).toMatchObject([{ of: 'Prepare the model', widthPx: 1600 }]);
      expect(complaints).toEqual([]);
      await page.context().close();
    });
  },
);

/** 3200 × 2400 as a phone's camera writes it: JPEG with an Exif segment. */
function fromPhone(seed: number): Buffer {
  const canvas = createCanvas(3200, 2400);
  const pen = canvas.getContext('2d');
  pen.fillStyle = '#c9b79c';
  pen.fillRect(0, 0, 3200, 2400);
  pen.strokeStyle = '#301008';
  pen.lineWidth = 24;
  pen.beginPath();
  pen.moveTo(400, 300 * seed);
  pen.lineTo(2700, 1900);
  pen.stroke();
  const bytes = canvas.toBuffer('image/jpeg', 90);
  // Exif 2.32, 4.7.2: APP1, "Exif", then a TIFF header and an empty directory.
  const exif = Buffer.from('45786966000049492a00080000000000', 'hex');
  const head = Buffer.from([0xff, 0xe1, 0, exif.length + 2]);
  return Buffer.concat([bytes.subarray(0, 2), head, exif, bytes.subarray(2)]);
}
