/** What axe-core has against a page (WCAG 2.2), asked in the page itself. */
import fs from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';

/** As the package has it for pages: it names itself `axe` there. */
const SOURCE = fs.readFileSync(
  createRequire(import.meta.url).resolve('axe-core/axe.min.js'),
  'utf8',
);

export interface Violation {
  readonly id: string;
  /** Of each element that is meant, its HTML. */
  readonly html: readonly string[];
}

/** Of what it has nothing against axe need not say where that stands: half of its time. */
export async function violationsOf(
  page: Page,
  runOnly: NonNullable<RunOptions['runOnly']>,
): Promise<Violation[]> {
  // What stands in a frame would have to be asked there; the client has none.
  expect(page.frames()).toHaveLength(1);
  // Once a document: turning pages keeps it. Told as strings: the tests are compiled without the browser's names.
  if (!(await page.evaluate<boolean>("typeof axe !== 'undefined'"))) await page.evaluate(SOURCE);
  const options: RunOptions = { runOnly, resultTypes: ['violations'] };
  const found = await page.evaluate<AxeResults['violations']>(
    `axe.run(document, ${JSON.stringify(options)}).then(({ violations }) => violations)`,
  );
  return found.map(({ id, nodes }) => ({ id, html: nodes.map(({ html }) => html) }));
}
