/**
 * What the bench weighs for a phone that opens it the first time. Bytes only: times are
 * scripts/bench/page-weight.ts' business, on a machine that does nothing else.
 */
import { describe, expect, test } from 'vitest';
import { signedIn, weighing } from '../../scripts/bench/weighPage.ts';
import { testClinic } from '../support/api.ts';
import { launch, noBrowser, openPage } from '../support/browser.ts';

const MOST_WIRE_BYTES = 200_000;

describe.skipIf(noBrowser !== undefined)(
  `the first load of the bench${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    test('is under 200 kB on the wire, packed, without the reader of codes', async () => {
      const clinic = await testClinic();
      const browser = await launch();
      const { page, complaints, settled } = await openPage(browser, clinic, 'phone');
      const { email, password } = clinic.people.technician;
      await signedIn(page.context(), clinic.address, email, password);
      const packing = new Map<string, string>();
      page.on('response', (answer) => {
        const name = new URL(answer.url()).pathname;
        packing.set(name, answer.headers()['content-encoding'] ?? 'none');
      });
      const { read } = await weighing(page);
      await page.goto('/bench');
      await page.getByLabel('Order number on the traveller').waitFor();
      await settled();
      const { wireBytes, requests } = read();
      const scripts = requests.filter(({ path }) => path.endsWith('.js'));
      expect(scripts.length).toBeGreaterThan(1);
      expect(wireBytes).toBeLessThan(MOST_WIRE_BYTES);
      expect(requests.filter(({ path }) => /wasm|codeWorker/.test(path))).toEqual([]);
      // The large ones at least; under a kilobyte nothing is gained.
      for (const { path, wireBytes: bytes } of scripts.filter((each) => each.wireBytes > 2000)) {
        expect(packing.get(path), `${path}, ${bytes} bytes`).toMatch(/^(br|gzip)$/);
      }
      expect(complaints).toEqual([]);
      await browser.close();
      await clinic.close();
    });
  },
);
