/**
 * The camera as a reader of codes: the printed traveller and real labels before Chromium's
 * fake camera, read by the WebAssembly reader; and what is said where there is no camera.
 */
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import bwipjs from 'bwip-js/node';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createCanvas, loadImage } from '@napi-rs/canvas';
import { testClinic, type TestClinic } from '../support/api.ts';
import { launch, lookAt, noBrowser, openPage, signInAs } from '../support/browser.ts';
import { noFilm, seeingPaper, seeingPicture } from '../support/fakeCamera.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  makeSocket,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';

const why = noBrowser ?? noFilm;
/** Films are made, and each has a browser of its own; no speed is asserted. */
const FILM_MS = 240_000;

describe.skipIf(why !== undefined)(
  `before the camera${why === undefined ? '' : ` (skipped: ${why})`}`,
  () => {
    let clinic: TestClinic;
    let shop: Shop;
    beforeAll(async () => {
      clinic = await testClinic();
      shop = await stockedShop(clinic);
    });
    afterAll(() => clinic.close());

    const atBench = async (browser: Browser, address = '/bench') => {
      const watched = await openPage(browser, clinic, 'phone');
      await signInAs(watched.page, clinic.people.technician);
      watched.page.setDefaultTimeout(FILM_MS / 4);
      await watched.page.goto(address);
      return watched;
    };
    /** What the page has fetched of the reader. */
    const readerFiles = (page: Page): Promise<string[]> =>
      page.evaluate<string[]>(
        `performance.getEntriesByType('resource').map(({ name }) => name).filter((name) => /codeWorker|zxing/.test(name))`,
      );

    test(
      'the printed traveller, held by hand, opens the next operation',
      { timeout: FILM_MS },
      async () => {
        const { orderId } = await openedOrder(shop);
        await acceptedCast(shop, orderId);
        const { number } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
        const pdf = await clinic
          .as('technician')
          .get(`/api/v1/orders/${orderId}/traveller.pdf`)
          .responseType('blob');
        const browser = await seeingPaper(pdf.body as Buffer);
        const { page, complaints } = await atBench(browser);
        // Headless Chromium on Linux has no reader of its own: it is ours that reads here.
        expect(await page.evaluate<string>('typeof BarcodeDetector')).toBe('undefined');
        expect(await readerFiles(page)).toEqual([]);
        const fetched: string[] = [];
        page.context().on('request', (request) => {
          // What the page asks, the service worker asks on its behalf.
          if (request.serviceWorker() === null) fetched.push(new URL(request.url()).pathname);
        });
        await page.getByRole('button', { name: 'Scan with the camera' }).click();
        await page.getByRole('heading', { name: 'Prepare the model' }).waitFor();
        await page.getByRole('heading', { name: number }).waitFor();
        expect(fetched.filter((name) => name.includes('codeWorker'))).toHaveLength(1);
        expect(complaints).toEqual([]);
        await browser.close();
      },
    );

    test(
      'tool and batch are taken by their labels: plain Code 128, and GS1 Data Matrix',
      { timeout: FILM_MS },
      async () => {
        const { orderId } = await openedOrder(shop);
        await acceptedCast(shop, orderId);
        const { socketId } = await checkSocketOnTheLimb(shop, orderId);
        const { body } = await clinic
          .as('technician')
          .get('/api/v1/batches?kind=threadlocker&usable=true');
        const [batch] = body.items as { lot: string }[];
        for (const [label, button, then] of [
          [
            { bcid: 'code128', text: 'Torque wrench 1' },
            'Scan: Torque tool',
            'In hand: Torque wrench 1',
          ],
          [
            { bcid: 'gs1datamatrix', text: `(01)09520000010072(10)${batch?.lot ?? ''}` },
            'Scan: Batch of threadlocker',
            'Screw 1 · pass 1 / 3',
          ],
        ] as const) {
          const browser = await seeingPicture(await labelOf(label));
          const { page, complaints } = await atBench(browser, `/bench/${socketId}/joints/distal`);
          if (label.bcid === 'gs1datamatrix') {
            await page.getByLabel('Torque tool').selectOption({ label: 'Torque wrench 1' });
          }
          await page.getByRole('button', { name: button }).click();
          await page.locator('video').waitFor();
          await page.getByText(then).waitFor();
          expect(complaints).toEqual([]);
          await browser.close();
        }
      },
    );

    test(
      'a label of something else is read out, and nothing is chosen',
      { timeout: FILM_MS },
      async () => {
        const { orderId } = await openedOrder(shop);
        await acceptedCast(shop, orderId);
        const { socketId } = await checkSocketOnTheLimb(shop, orderId);
        const browser = await seeingPicture(await labelOf({ bcid: 'code128', text: 'OVEN 3' }));
        const { page, complaints } = await atBench(browser, `/bench/${socketId}/joints/distal`);
        await page.getByRole('button', { name: 'Scan: Torque tool' }).click();
        await page.getByText('Read: OVEN 3. Nothing that can be chosen here').waitFor();
        await page.getByText('In hand: choose').waitFor();
        await lookAt(page, 'bench-scan-unknown');
        expect(complaints).toEqual([]);
        await browser.close();
      },
    );
  },
);

describe.skipIf(noBrowser !== undefined)(
  `without a camera${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    beforeAll(async () => {
      clinic = await testClinic();
      browser = await launch();
    });
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    const NAMED = (name: string): string =>
      `navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('', '${name}'); };`;

    test.each([
      ['the browser has none', NAMED('NotFoundError'), 'shows no camera'],
      ['it is refused', NAMED('NotAllowedError'), 'allow it in its settings'],
      ['another app has it', NAMED('NotReadableError'), 'another app may have it'],
    ])('where %s, it is said in words, and typing stays', async (_, script, said) => {
      const { page, complaints } = await openPage(browser, clinic, 'phone');
      await signInAs(page, clinic.people.technician);
      await page.addInitScript(script);
      await page.goto('/bench');
      await page.getByRole('button', { name: 'Scan with the camera' }).click();
      await page.getByRole('alert').filter({ hasText: said }).waitFor();
      await page.getByLabel('Order number on the traveller').fill('KL-26-00001-X');
      await lookAt(page, 'bench-no-camera');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a page that came without https says so, and asks for no password', async () => {
      const { page, complaints } = await openPage(browser, clinic, 'phone');
      await page.addInitScript(
        `Object.defineProperty(window, 'isSecureContext', { value: false });
         Object.defineProperty(Navigator.prototype, 'mediaDevices', { value: undefined });`,
      );
      await page.goto('/bench');
      await page.getByRole('heading', { name: 'This address is not secure' }).waitFor();
      await page.getByText('over https only').waitFor();
      expect(await page.getByLabel('Password').count()).toBe(0);
      await lookAt(page, 'not-secure');
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('a reader that cannot be fetched is said in words too', async () => {
      const { page } = await openPage(browser, clinic, 'phone');
      await signInAs(page, clinic.people.technician);
      await page.addInitScript(`
        navigator.mediaDevices.getUserMedia = async () => {
          const canvas = document.createElement('canvas');
          canvas.getContext('2d').fillRect(0, 0, 9, 9);
          return canvas.captureStream(30);
        };`);
      // Of the context: it is the service worker that asks.
      await page.context().route('**/*zxing_reader*', (route) => route.abort());
      await page.goto('/bench');
      await page.getByRole('button', { name: 'Scan with the camera' }).click();
      await page.getByRole('alert').filter({ hasText: 'reader of codes' }).waitFor();
      await page.context().close();
    });
  },
);

/** A label as it sticks on a can or a tool; a PNG file of it. */
async function labelOf({ bcid, text }: { bcid: string; text: string }): Promise<string> {
  const canvas = createCanvas(1280, 720);
  const pen = canvas.getContext('2d');
  pen.fillStyle = '#fff';
  pen.fillRect(0, 0, 1280, 720);
  const linear = bcid === 'code128' ? { height: 18 } : {};
  const drawn = await loadImage(await bwipjs.toBuffer({ bcid, text, scale: 4, ...linear }));
  pen.drawImage(drawn, 220, 220);
  const file = path.join(fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-label-')), 'label.png');
  fs.writeFileSync(file, canvas.toBuffer('image/png'));
  return file;
}
