/** Real headless Chromium on the built client against the real service. */
import fs from 'node:fs';
import path from 'node:path';
import { chromium, type Browser, type Locator, type Page, type Request } from 'playwright-core';
import { expect } from 'vitest';
import { violationsOf } from './axe.ts';
import type { TestClinic, TestPerson } from './clinic.ts';

const EXECUTABLE = '/usr/bin/chromium';
const PICTURES = path.resolve(import.meta.dirname, '../output/browser');

/** Why the browser tests are skipped here; undefined where they run. */
export const noBrowser: string | undefined = fs.existsSync(EXECUTABLE)
  ? fs.existsSync(path.resolve(import.meta.dirname, '../../dist/web/index.html'))
    ? undefined
    : 'the client is not built: npm run build'
  : `Chromium is not installed at ${EXECUTABLE}`;

export const SIZES = {
  desk: { width: 1280, height: 900 },
  phone: { width: 360, height: 740 },
} as const;

/** @param more arguments of Chromium */
export const launch = (more: readonly string[] = []): Promise<Browser> =>
  chromium.launch({
    executablePath: EXECUTABLE,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      ...more,
    ],
  });

/** Nothing that a page says to its console, or asks of anybody else, passes unseen. */
export interface Watched {
  readonly page: Page;
  readonly complaints: string[];
  /** All that the page asked has been answered, but for what it follows for as long as it stands. */
  readonly settled: () => Promise<void>;
}

const FOLLOWED = '/api/v1/changes';
/** So long nothing is asked anew. */
const QUIET_MS = 120;

export async function openPage(
  browser: Browser,
  clinic: TestClinic,
  size: keyof typeof SIZES,
  locale = 'en-GB',
  /** What a service worker lets pass cannot be held up by `page.route`: such a test blocks it. */
  serviceWorkers: 'allow' | 'block' = 'allow',
): Promise<Watched> {
  const context = await browser.newContext({
    baseURL: clinic.address,
    viewport: SIZES[size],
    locale,
    timezoneId: 'Europe/Vienna',
    serviceWorkers,
  });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('console', (message) => {
    // Chromium itself logs every answer of 4xx; refusals are part of the job.
    if (message.type() === 'error' && !message.text().includes('Failed to load resource')) {
      complaints.push(message.text());
    }
  });
  page.on('response', (answer) => {
    if (answer.request().resourceType() !== 'document') return;
    // No inline script or style, no WebAssembly, no evaluated text: on any page.
    const policy = answer.headers()['content-security-policy'] ?? '';
    if (!policy.includes("script-src 'self'") || policy.includes('unsafe')) {
      complaints.push(`${answer.url()} has the policy: ${policy}`);
    }
  });
  page.on('request', (request) => {
    if (!request.url().startsWith(clinic.address) && !/^(data|blob):/.test(request.url())) {
      complaints.push(`asked ${request.url()}`);
    }
  });
  const asked = new Set<Request>();
  let lastAt = 0;
  page.on('request', (request) => {
    lastAt = Date.now();
    if (new URL(request.url()).pathname !== FOLLOWED) asked.add(request);
  });
  for (const over of ['requestfinished', 'requestfailed'] as const) {
    page.on(over as 'requestfinished', (request) => {
      lastAt = Date.now();
      asked.delete(request);
    });
  }
  const settled = async (): Promise<void> => {
    const until = Date.now() + 15_000;
    while (asked.size > 0 || Date.now() - lastAt < QUIET_MS) {
      if (Date.now() > until)
        throw new Error(`unanswered: ${[...asked].map((request) => request.url()).join(' ')}`);
      await page.waitForTimeout(20);
    }
  };
  return { page, complaints, settled };
}

export async function signInAs(page: Page, person: TestPerson): Promise<void> {
  await page.goto('/');
  await page.getByLabel('E-mail address').fill(person.email);
  await page.getByLabel('Password').fill(person.password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await signedIn(page).waitFor({ state: 'attached' });
}

/** Where the head has it in any language: behind its button, so it need not be seen. */
export const signedIn = (page: Page): Locator => page.locator('header .who a[href="/password"]');

/** What is wanted now and then, and on a phone the pages, stand behind the head's button. */
export async function openMenu(page: Page): Promise<void> {
  await page.locator('header button.menu[aria-expanded="false"]').click();
}

/** A picture to look at, in an ignored folder; and what axe has against the page. */
export async function lookAt(page: Page, name: string): Promise<void> {
  fs.mkdirSync(PICTURES, { recursive: true });
  await page.screenshot({ path: path.join(PICTURES, `${name}.png`), fullPage: true });
  const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
  const violations = await violationsOf(page, { type: 'tag', values: tags });
  expect(violations.map(({ id, html }) => `${id}: ${html.join(' ')}`)).toEqual([]);
}

/** Text that stands out less than 7 to 1 from its ground (WCAG 2.2, 1.4.6): read in bright sun and in a dark shop. */
export async function expectStrongContrast(page: Page): Promise<void> {
  const rules = ['color-contrast-enhanced'];
  const violations = await violationsOf(page, { type: 'rule', values: rules });
  expect(violations.flatMap(({ html }) => html)).toEqual([]);
}

/** The same page turned to the phone's size and back: looked at, and no wider than the phone. */
export async function lookAtOnPhone(page: Page, name: string): Promise<void> {
  await page.setViewportSize(SIZES.phone);
  await lookAt(page, name);
  // Told as a string: the tests are compiled without the browser's names.
  const pastTheEdge = await page.evaluate<number>(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  );
  expect(pastTheEdge, `${name} is wider than the phone by`).toBe(0);
  await page.setViewportSize(SIZES.desk);
}
