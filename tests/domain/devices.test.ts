import fc from 'fast-check';
import { expect, test } from 'vitest';
import { deviceOf, deviceWords, UNKNOWN_DEVICE } from '../../src/domain/devices.ts';

/** User agents as these browsers send them; from memory, versions invented. */
const MAC = 'Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)';
test.each([
  ['phone Android Firefox', 'Mozilla/5.0 (Android 14; Mobile; rv:128.0) Gecko/128.0 Firefox/128.0'],
  [
    'phone Android Chrome',
    'Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/126.0.0.0 Mobile Safari/537.36',
  ],
  [
    'tablet Android Chrome',
    'Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/126.0.0.0 Safari/537.36',
  ],
  [
    'phone iOS Safari',
    'Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Mobile/15E148 Safari/604.1',
  ],
  [
    'tablet iOS Firefox',
    'Mozilla/5.0 (iPad; CPU OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) FxiOS/128.0 Mobile/15E148 Safari/605.1.15',
  ],
  [
    'computer Windows Edge',
    'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/126.0.0.0 Safari/537.36 Edg/126.0.0.0',
  ],
  [
    'computer macOS Safari',
    `${MAC} AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Safari/605.1.15`,
  ],
  [
    'computer Linux Firefox',
    'Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0',
  ],
  ['computer macOS', MAC],
  ['other', 'curl/8.5.0'],
  ['other', ''],
  ['other', undefined],
])('%s', (device, userAgent) => {
  expect(deviceOf(userAgent)).toBe(device);
});

test('whatever a user agent says, what is kept of it are words of ours alone', () => {
  const said = fc.oneof(
    fc.string({ unit: 'binary' }),
    fc
      .array(
        fc.oneof(
          fc.constantFrom('Android', 'Mobile', 'iPad', 'Windows', 'Firefox/9', 'Edg/1', 'CrOS'),
          fc.string(),
        ),
      )
      .map((words) => words.join(' ')),
  );
  fc.assert(
    // The pattern is that of the database.
    fc.property(said, (userAgent) =>
      /^(phone|tablet|computer|other)( [A-Za-z]{1,12}){0,2}$/.test(deviceOf(userAgent)),
    ),
  );
});

test('a device is told as its kind and its names', () => {
  expect(deviceWords('phone Android Firefox')).toEqual({
    kind: 'phone',
    names: 'Android, Firefox',
  });
  expect(deviceWords(UNKNOWN_DEVICE)).toEqual({ kind: 'other', names: '' });
  // Of a newer program.
  expect(deviceWords('watch')).toEqual({ kind: 'other', names: '' });
});
