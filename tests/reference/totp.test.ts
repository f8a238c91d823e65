/**
 * Codes of authenticator apps against the tables of their standards: RFC 4226 Appendix D and
 * RFC 6238 Appendix B (SHA-1). The secret of both is the ASCII text below.
 */
import { HOTP, Secret } from 'otpauth';
import { expect, test } from 'vitest';
import { base32Of, keyUri, stepOfCode } from '../../src/access/totp.ts';
import { stepAt } from '../../src/domain/secondFactor.ts';
import { codeAtStep } from '../support/authenticator.ts';

const SECRET = new TextEncoder().encode('12345678901234567890');

/** RFC 4226 Appendix D: the code of each count. */
const BY_COUNT = [
  '755224',
  '287082',
  '359152',
  '969429',
  '338314',
  '254676',
  '287922',
  '162583',
  '399871',
  '520489',
];

/** RFC 6238 Appendix B: seconds since 1970, the step (hex), the code of eight figures. */
const BY_TIME = [
  { timeS: 59, step: 0x1, code: '94287082' },
  { timeS: 1_111_111_109, step: 0x23523ec, code: '07081804' },
  { timeS: 1_111_111_111, step: 0x23523ed, code: '14050471' },
  { timeS: 1_234_567_890, step: 0x273ef07, code: '89005924' },
  { timeS: 2_000_000_000, step: 0x3f940aa, code: '69279037' },
  { timeS: 20_000_000_000, step: 0x27bc86aa, code: '65353130' },
];

test('codes by count are those of RFC 4226, Appendix D', () => {
  BY_COUNT.forEach((code, counter) => {
    expect(stepOfCode(SECRET, code, new Date(counter * 30_000), null)).toBe(counter);
    expect(codeAtStep(SECRET, counter)).toBe(code);
  });
});

test.each(BY_TIME)('at $timeS s the code is $code (RFC 6238, Appendix B)', (row) => {
  const at = new Date(row.timeS * 1000);
  expect(stepAt(at)).toBe(row.step);
  const secret = new Secret({ buffer: SECRET.buffer });
  expect(HOTP.generate({ secret, algorithm: 'SHA1', digits: 8, counter: row.step })).toBe(row.code);
  expect(codeAtStep(SECRET, row.step, 8)).toBe(row.code);
  // Ours have six figures: the last six of the same number.
  expect(stepOfCode(SECRET, row.code.slice(2), at, null)).toBe(row.step);
});

test('a secret is typed in base 32 (RFC 4648), and the address for the app names clinic and account', () => {
  // Base 32 of the text by coreutils: printf 12345678901234567890 | base32
  expect(base32Of(SECRET)).toBe('GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ');
  const uri = new URL(keyUri(SECRET, 'Knie: Lang', 'vera@knielang.test'));
  expect(uri.protocol).toBe('otpauth:');
  expect(decodeURIComponent(uri.pathname)).toMatch(/Castbook Knie {2}Lang:vera@knielang\.test$/);
  expect(Object.fromEntries(uri.searchParams)).toEqual({
    issuer: 'Castbook Knie  Lang',
    secret: 'GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ',
    algorithm: 'SHA1',
    digits: '6',
    period: '30',
  });
});
