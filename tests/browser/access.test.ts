/**
 * Every page in both languages and both sizes: nothing wider than the screen, targets large
 * enough, everything named; nothing that axe finds, which does not ask for the language. And
 * zoomed, by keyboard, in the system's own colours, without motion, on paper.
 */
import fs from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { takeOn, testClinic, type TestClinic } from '../support/api.ts';
import { violationsOf } from '../support/axe.ts';
import {
  launch,
  lookAt,
  noBrowser,
  openMenu,
  openPage,
  signedIn,
  SIZES,
  type Watched,
} from '../support/browser.ts';
import type { TestPerson } from '../support/clinic.ts';
import { Keyboard } from '../support/keyboard.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  deliveredLimb,
  laidUpWithoutLock,
  openedOrder,
  stockedShop,
} from '../support/job.ts';
import { popplerText } from '../support/pdf.ts';

const PAGES = path.resolve(import.meta.dirname, '../../src/web/pages.tsx');
const PICTURES = path.resolve(import.meta.dirname, '../output/browser');
const TEN_MINUTES = 600_000;

/** The pages of the client by their patterns: one that is added is looked at, or fails here. */
const patterns = [...fs.readFileSync(PAGES, 'utf8').matchAll(/path: '([^']+)'/g)].map(
  ([, pattern = '']) => pattern,
);

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  { timeout: TEN_MINUTES },
  () => {
    let clinic: TestClinic;
    let browser: Browser;
    let everybody: TestPerson;
    /** What stands in an address, for each pattern that is asked. */
    let named: Readonly<Record<string, string>>;
    let trace: string;
    let recall: string;
    /** A patient's history has who looked the patient up below it. */
    let looks: string;

    const addressOf = (pattern: string): string => {
      // A check socket on the limb has the joints; only a definitive one has layup and resin.
      const laidUp = /layup|resin/.test(pattern);
      return pattern
        .replace(/:socketId\b/, named[laidUp ? 'laidUp' : 'socketId'] ?? '')
        .replaceAll(/:(\w+)/g, (_all, name: string) => {
          const there = named[name];
          if (there === undefined) throw new Error(`${pattern}: tell this test a ${name}`);
          return there;
        });
    };

    const opened = async (
      size: keyof typeof SIZES,
      locale: 'en-GB' | 'de-DE',
    ): Promise<Watched> => {
      const watched = await openPage(browser, clinic, size, locale);
      const { page } = watched;
      await page.clock.setFixedTime(clinic.clock.now());
      await page.goto('/');
      await page.locator('input[type=email]').fill(everybody.email);
      await page.locator('input[type=password]').fill(everybody.password);
      await page.locator('form button').click();
      await signedIn(page).waitFor({ state: 'attached' });
      return watched;
    };
    /** Turned to as a link does; all that it asks of the service is there. */
    const turnTo = async ({ page, settled }: Watched, address: string): Promise<void> => {
      await settled();
      await page.evaluate(`history.pushState(null, '', ${JSON.stringify(address)})`);
      await page.evaluate('new Promise((drawn) => setTimeout(drawn, 50))');
      await settled();
      await page.locator('main h1').waitFor();
    };
    const pictureOf = (address: string): string =>
      address.replaceAll(/[0-9a-f-]{36}/g, 'id').replaceAll(/[^\w]+/g, '-');
    /** Told as strings: the tests are compiled without the browser's names. */
    const pastTheEdge = (page: Page): Promise<number> =>
      page.evaluate<number>(
        'document.documentElement.scrollWidth - document.documentElement.clientWidth',
      );

    beforeAll(async () => {
      clinic = await testClinic();
      const shop = await stockedShop(clinic);
      const order = await openedOrder(shop);
      await acceptedCast(shop, order.orderId);
      const { socketId } = await checkSocketOnTheLimb(shop, order.orderId);
      const laidUp = await laidUpWithoutLock(shop);
      const delivered = await deliveredLimb(shop);
      const signed = await clinic
        .as('auditor')
        .get(`/api/v1/orders/${delivered.orderId}/signatures`)
        .expect(200);
      const firstOf = async (list: string): Promise<string> => {
        const { body } = await clinic.as('administrator').get(`/api/v1/${list}`);
        return String(body.items[0].id);
      };
      named = {
        orderId: order.orderId,
        number: order.number,
        socketId,
        laidUp,
        kind: 'distal',
        socket: 'C1',
        placeId: shop.bin,
        personId: clinic.people.technician.id,
        partId: shop.parts.lock,
        fabricId: await firstOf('fabrics?every=true'),
        resinProductId: await firstOf('resin-products'),
        toolId: await firstOf('shop-tools'),
        socketKind: 'definitive',
        suspension: 'pin_lock',
        subjectKind: 'order',
        subjectId: order.orderId,
        patientId: order.patientId,
        signatureId: String(signed.body.items[0].id),
      };
      trace = `/trace?by=socket&key=${encodeURIComponent(`${order.number}/C1`)}`;
      const { body } = await clinic.as('technician').get('/api/v1/batches?kind=threadlocker');
      recall = `/recall?of=batch&key=${String(body.items[0].id)}`;
      looks = `/history/patient/${order.patientId}`;
      everybody = await takeOn(clinic, {
        email: 'everybody@kl.example',
        printedName: 'Ulla Everybody',
        roles: ['front_desk', 'technician', 'prosthetist', 'auditor', 'administrator'],
      });
      browser = await launch();
    }, TEN_MINUTES);
    afterAll(async () => {
      await browser.close();
      await clinic.close();
    });

    /** What every page owes in any language, at the size it is shown at. */
    const owes = async (page: Page, address: string, at: string): Promise<void> => {
      expect(await pastTheEdge(page), `${address} is wider than the ${at} by`).toBe(0);
      expect(await page.evaluate(SMALL_TARGETS), `${address}: small targets`).toEqual([]);
      expect(await unnamed(page), `${address}: without a name`).toEqual([]);
      expect(await page.locator('h1').count(), `${address}: headings of the page`).toBe(1);
    };
    const addresses = (): string[] => [...patterns.map(addressOf), trace, recall, looks];

    test('every page in English, at the desk and on the phone, before axe', async () => {
      const watched = await opened('desk', 'en-GB');
      const { page, complaints } = watched;
      expect(patterns.length).toBeGreaterThan(40);
      for (const address of addresses()) {
        await page.setViewportSize(SIZES.desk);
        await turnTo(watched, address);
        for (const size of ['desk', 'phone'] as const) {
          await page.setViewportSize(SIZES[size]);
          await lookAt(page, `access-en-${size}${pictureOf(address)}`.slice(0, 90));
          await owes(page, address, size);
        }
      }
      for (const size of ['desk', 'phone'] as const) {
        await page.setViewportSize(SIZES[size]);
        await openMenu(page);
        await lookAt(page, `access-en-${size}-menu`);
        await owes(page, 'the menu', size);
        await page.locator('header button.menu').click();
      }
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('every page in German; zoomed to 200 %, as a page of 640 px and as text alone, nothing is cut or runs past the edge', async () => {
      const watched = await opened('desk', 'de-DE');
      const { page, complaints } = watched;
      for (const address of addresses()) {
        await page.evaluate("document.documentElement.style.fontSize = ''");
        await page.setViewportSize(SIZES.desk);
        await turnTo(watched, address);
        expect(await page.locator('html').getAttribute('lang')).toBe('de');
        await owes(page, address, 'desk');
        await page.setViewportSize(SIZES.phone);
        await owes(page, address, 'phone');
        await page.setViewportSize({ width: 640, height: 450 });
        expect(await pastTheEdge(page), `${address} at 640 px`).toBe(0);
        expect(await page.evaluate(CUT), `${address} at 640 px: cut`).toEqual([]);
        // Text twice as large, the window as it was.
        await page.setViewportSize(SIZES.desk);
        await page.evaluate("document.documentElement.style.fontSize = '225%'");
        expect(await pastTheEdge(page), `${address} with large text`).toBe(0);
        expect(await page.evaluate(CUT), `${address} with large text: cut`).toEqual([]);
        expect(await page.evaluate(OVERLAPPING), `${address}: overlapping`).toEqual([]);
        await page.screenshot({
          path: path.join(PICTURES, `access-zoom${pictureOf(address)}.png`.slice(-80)),
        });
      }
      expect(complaints).toEqual([]);
      await page.context().close();
    });

    test('by keyboard: past the head to the content, and every stop is seen', async () => {
      const watched = await opened('desk', 'en-GB');
      const { page } = watched;
      const keyboard = new Keyboard(page);
      for (const pattern of [
        '/',
        '/orders/new',
        '/orders/:orderId',
        '/bench/:socketId',
        '/settings',
      ]) {
        await turnTo(watched, addressOf(pattern));
        await page.evaluate('document.activeElement.blur(); window.scrollTo(0, 0)');
        await page.evaluate("getSelection().collapse(document.querySelector('.skip'), 0)");
        await page.locator('.skip').focus();
        expect(await page.locator('.skip').textContent()).toBe('To the content of the page');
        expect((await page.locator('.skip').boundingBox())?.x).toBeGreaterThanOrEqual(0);
        await keyboard.press('Enter', 'Tab');
        expect(
          await page.evaluate("document.activeElement.closest('main') !== null"),
          pattern,
        ).toBe(true);
        const seen: string[] = [];
        for (let stop = 0; stop < 60; stop += 1) {
          const at = await page.evaluate<{ name: string; outline: number; inMain: boolean }>(STOP);
          if (!at.inMain) break;
          seen.push(at.name);
          expect(at.outline, `${pattern}: the focus on ${at.name} is not seen`).toBeGreaterThan(1);
          await keyboard.press('Tab');
        }
        expect(seen.length, pattern).toBeGreaterThan(0);
        expect(
          await page.locator('[tabindex]:not([tabindex="0"]):not([tabindex="-1"])').count(),
          `${pattern}: an order of its own`,
        ).toBe(0);
      }
      await page.context().close();
    });

    test('in the system’s own colours, and without motion', async () => {
      const watched = await opened('desk', 'en-GB');
      const { page } = watched;
      await page.emulateMedia({
        forcedColors: 'active',
        reducedMotion: 'reduce',
        colorScheme: 'dark',
      });
      for (const pattern of [
        '/orders/:orderId',
        '/orders/:orderId/cast',
        '/orders/new',
        '/bench/:socketId/joints/:kind',
      ]) {
        await turnTo(watched, addressOf(pattern));
        await page.screenshot({
          path: path.join(PICTURES, `access-forced${pattern.replaceAll(/\W+/g, '-')}.png`),
          fullPage: true,
        });
        expect(await page.evaluate('document.getAnimations().length')).toBe(0);
        expect(
          await page.evaluate('getComputedStyle(document.documentElement).scrollBehavior'),
        ).toBe('auto');
      }
      // The rail still tells what is past: a filled mark is not an empty one.
      await turnTo(watched, addressOf('/orders/:orderId'));
      expect(await page.evaluate(RAIL)).toEqual([true, false]);
      await page.context().close();
    });

    test('on paper: what is on record, without the buttons, each page whole', async ({ skip }) => {
      const watched = await opened('desk', 'en-GB');
      const { page } = watched;
      const onPaper = {
        'order list': ['/', named['number']],
        order: [addressOf('/orders/:orderId'), named['number']],
        gate: [addressOf('/orders/:orderId/delivery'), '3 things are missing'],
        trace: [trace, 'What happened'],
        recall: [recall, 'used, as weighed and recorded'],
        layup: [addressOf('/sockets/:socketId/layup'), 'Cut list'],
      } as const;
      for (const [name, [address, holds]] of Object.entries(onPaper)) {
        await turnTo(watched, address);
        const file = path.join(PICTURES, `print-${name.replace(' ', '-')}.pdf`);
        const printed = popplerText(await page.pdf({ path: file, format: 'A4' }));
        if (printed === null) return skip('pdftotext is not installed');
        expect(printed, name).toContain(holds ?? '');
        expect(printed, name).not.toMatch(/Sign out|Language, units|Ask the record/);
      }
      await page.context().close();
    });

    test('the pages of one’s own settings and of signing in, as they are heard', async () => {
      const watched = await opened('desk', 'de-DE');
      const { page } = watched;
      await turnTo(watched, '/settings');
      const heard = await page.locator('main').ariaSnapshot();
      expect(heard).toContain('heading "Sprache und Einheiten" [level=1]');
      for (const group of ['Sprache', 'Maße am Stumpf', 'Körpergewicht', 'Drehmoment']) {
        expect(heard).toContain(`group "${group}"`);
      }
      expect(heard).toContain('radio "Deutsch" [checked]');
      const head = await page.locator('header').ariaSnapshot();
      expect(head).toContain('navigation "Seiten"');
      expect(head).toContain('link "Zum Inhalt der Seite"');
      await page.context().close();
    });

    test('a button without a name and words that are hardly seen would be found, on a page that was looked at before', async () => {
      const { page } = await opened('desk', 'en-GB');
      await lookAt(page, 'access-well');
      await page.evaluate(`{
        const grey = document.createElement('p');
        grey.style.color = '#ddd';
        grey.append('Hardly seen');
        document.querySelector('main').append(document.createElement('button'), grey);
      }`);
      const found = await violationsOf(page, { type: 'tag', values: ['wcag2a', 'wcag2aa'] });
      expect(found.map(({ id }) => id).sort()).toEqual(['button-name', 'color-contrast']);
      await expect(lookAt(page, 'access-not-well')).rejects.toThrow('to deeply equal []');
      await page.context().close();
    });
  },
);

/** Roles that do something and say no name, by the accessibility tree. */
async function unnamed(page: Page): Promise<string[]> {
  const heard = await page.locator('body').ariaSnapshot();
  return (
    heard
      .split('\n')
      .map((line) => line.trim())
      .filter((line) =>
        /^- (button|link|textbox|searchbox|combobox|radio|checkbox|spinbutton|img|navigation|dialog|group)(:| \[|$)/.test(
          line,
        ),
      )
      // A folded part is a group that its summary names.
      .filter((line) => !line.startsWith('- group'))
  );
}

/** WCAG 2.5.8: 24 px either way, but for links within a sentence. */
const SMALL_TARGETS = `[...document.querySelectorAll('a[href], button, select, summary, input, textarea')]
  .filter((each) => each.checkVisibility() && !each.classList.contains('skip'))
  .map((each) => [each, each.matches('input[type=radio], input[type=checkbox]') ? each.closest('label') ?? each : each])
  .filter(([, area]) => getComputedStyle(area).display !== 'inline')
  .map(([each, area]) => [each, area.getBoundingClientRect()])
  .filter(([, { width, height }]) => width > 0 && (width < 24 || height < 24))
  .map(([each]) => each.outerHTML.slice(0, 120))`;

/** Text that its own box does not show whole, where nothing scrolls to it. */
const CUT = `[...document.querySelectorAll('body *')]
  .filter((each) => each.checkVisibility() && !each.closest('svg, select, .skip, .aloud, .wide, .wide-figure, .rail:not(:has(.under))'))
  .filter((each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== ''))
  .filter((each) => ['hidden', 'clip'].includes(getComputedStyle(each).overflowX) && each.scrollWidth > each.clientWidth + 1)
  .map((each) => each.outerHTML.slice(0, 120))`;

/** Texts whose lines lie over those of another. */
const OVERLAPPING = `(() => {
  const boxes = [...document.querySelectorAll('main *, header *')]
    .filter((each) => each.checkVisibility() && !each.closest('svg, .skip, .aloud, .limb-map, option') && each.children.length === 0 && each.textContent.trim() !== '')
    .flatMap((each) => {
      const range = document.createRange();
      range.selectNodeContents(each);
      return [...range.getClientRects()].map((box) => [each, box]);
    });
  const found = [];
  for (const [at, [one, a]] of boxes.entries())
    for (const [other, b] of boxes.slice(at + 1)) {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (one !== other && wide > 3 && high > Math.min(a.height, b.height) / 2)
        found.push(one.textContent.trim().slice(0, 40) + ' / ' + other.textContent.trim().slice(0, 40));
    }
  return found;
})()`;

const STOP = `(() => {
  const at = document.activeElement;
  const look = getComputedStyle(at);
  return {
    name: (at.getAttribute('aria-label') ?? at.textContent ?? '').trim().slice(0, 40) || at.outerHTML.slice(0, 60),
    outline: look.outlineStyle === 'none' ? 0 : parseFloat(look.outlineWidth),
    inMain: at.closest('main') !== null,
  };
})()`;

/** Whether the mark of a past stage, and of one to come, is filled. */
const RAIL = `(() => {
  const ground = (mark) => getComputedStyle(mark, '::before').backgroundColor;
  const paper = getComputedStyle(document.querySelector('.sheet')).backgroundColor;
  return ['.rail li.past', '.rail li:last-child'].map((each) => ground(document.querySelector(each)) !== paper);
})()`;
