/** Work by keyboard alone, every key counted. */
import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';

export class Keyboard {
  readonly #page: Page;
  /** Keys pressed so far. */
  keys = 0;

  constructor(page: Page) {
    this.#page = page;
  }

  async press(...keys: readonly string[]): Promise<void> {
    for (const key of keys) {
      this.keys += 1;
      await this.#page.keyboard.press(key);
    }
  }

  async type(text: string): Promise<void> {
    this.keys += text.length;
    await this.#page.keyboard.type(text);
  }

  /** Tab by Tab until the thing has the focus. */
  async tabTo(thing: Locator, most = 12): Promise<void> {
    await thing.waitFor();
    for (let tab = 0; tab < most && !(await hasFocus(thing)); tab += 1) await this.press('Tab');
    expect(await hasFocus(thing), `${String(thing)} is not reached in ${most} Tabs`).toBe(true);
  }

  /** The focus came to it by itself. */
  async isAt(thing: Locator): Promise<void> {
    await expect.poll(() => hasFocus(thing), { timeout: 5_000 }).toBe(true);
  }
}

const hasFocus = async (thing: Locator): Promise<boolean> =>
  (await thing.count()) === 1 &&
  thing.evaluate((element: { matches(selector: string): boolean }) => element.matches(':focus'));
