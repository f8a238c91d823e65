/** Whom a provider's word lets in, and how fresh it must be to sign with. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  againstIssuer,
  CLOCKS_DIFFER_S,
  judgeFreshSignIn,
  letsIn,
  NOT_TAKEN_WORDS,
  UNREACHED_WORDS,
} from '../../src/domain/openid.ts';
import { satz } from '../../src/web/words/de/satz.ts';

const AT = new Date('2026-03-02T09:00:00Z');
const later = (ms: number) => new Date(AT.getTime() + ms);

describe('an issuer', () => {
  const why = (issuer: string, loopback = false) =>
    againstIssuer(issuer, loopback, '/issuer').map(({ code, facts, field }) => [
      code,
      facts['why'],
      field,
    ]);
  const unfit = (words: string) => [['openid-issuer-unfit', words, '/issuer']];

  test.each([
    'https://login.example',
    'https://login.example:8443/realms/clinic',
    'https://a.example/',
  ])('%s may be one', (issuer) => {
    expect(why(issuer)).toEqual([]);
  });
  test.each([
    ['login.example', 'it is no address'],
    ['http://login.example', 'it does not begin with https'],
    ['ftp://login.example', 'it does not begin with https'],
    ['https://me@login.example', 'it names a user'],
    ['https://:word@login.example', 'it names a user'],
    ['https://login.example?', 'it has a query or a fragment'],
    ['https://login.example/?a=b', 'it has a query or a fragment'],
    ['https://login.example/#a', 'it has a query or a fragment'],
  ])('%s is none: %s', (issuer, words) => {
    expect(why(issuer)).toEqual(unfit(words));
  });
  test('plain http is for this very machine, where the service is told so', () => {
    for (const issuer of ['http://localhost:3000', 'http://127.0.0.1', 'http://[::1]:8080/x']) {
      expect(why(issuer, true)).toEqual([]);
      expect(why(issuer, false)).toEqual(unfit('it does not begin with https'));
    }
    expect(why('http://10.0.0.1', true)).toEqual(unfit('it does not begin with https'));
  });
});

describe('a provider’s word', () => {
  const linked = { active: true, email: 'nora@kl.example', invitedUntil: null };
  const invited = { ...linked, invitedUntil: later(1) };
  const says = { email: 'Nora@KL.example ', emailVerified: true };

  test('lets in who is linked, whatever the address; nobody who left', () => {
    expect(letsIn(linked, { email: undefined, emailVerified: false }, AT)).toBe(true);
    expect(letsIn({ ...linked, active: false }, says, AT)).toBe(false);
    expect(letsIn({ ...invited, active: false }, says, AT)).toBe(false);
  });

  test('takes an invitation up by the verified address, in time', () => {
    expect(letsIn(invited, says, AT)).toBe(true);
    expect(letsIn({ ...invited, invitedUntil: AT }, says, AT)).toBe(false);
    expect(letsIn(invited, { ...says, emailVerified: false }, AT)).toBe(false);
    expect(letsIn(invited, { email: undefined, emailVerified: true }, AT)).toBe(false);
  });

  test('no other address takes it up', () => {
    fc.assert(
      fc.property(fc.emailAddress(), (email) => {
        fc.pre(email.toLowerCase() !== invited.email);
        expect(letsIn(invited, { email, emailVerified: true }, AT)).toBe(false);
      }),
    );
  });
});

describe('to sign', () => {
  const begun = AT.getTime() / 1000;
  const code = (authTimeS: number | undefined) => {
    const verdict = judgeFreshSignIn(authTimeS, AT);
    return verdict.ok ? 'fresh' : verdict.reasons.map(({ facts }) => facts['told']);
  };
  test('the provider says when it asked, and that was no earlier than the signing began', () => {
    expect(code(begun)).toBe('fresh');
    expect(code(begun + 100)).toBe('fresh');
    expect(code(begun - CLOCKS_DIFFER_S)).toBe('fresh');
    expect(code(begun - CLOCKS_DIFFER_S - 1)).toEqual([true]);
    expect(code(undefined)).toEqual([false]);
  });
});

test.each([...Object.values(UNREACHED_WORDS), ...Object.values(NOT_TAKEN_WORDS)])(
  '“%s” is said in German too',
  (words) => {
    expect(satz(words)).not.toBe(words);
  },
);
