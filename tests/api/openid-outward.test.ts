/** The one way by which the service fetches anything: nothing inside is reached by it. */
import http, { type RequestListener, type Server } from 'node:http';
import https from 'node:https';
import { BlockList } from 'node:net';
import fc from 'fast-check';
import ipaddr from 'ipaddr.js';
import { generate } from 'selfsigned';
import { afterEach, describe, expect, test } from 'vitest';
import {
  isWithin,
  outwardBy,
  OutwardProblem,
  type OutwardParts,
  type OutwardRules,
} from '../../src/access/openidFetch.ts';
import { listening } from '../support/openidProvider.ts';

const PUBLIC: OutwardRules = { allowedHosts: [], loopbackHttp: false };
const LOOPBACK: OutwardRules = { allowedHosts: [], loopbackHttp: true };
const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.close();
    server.closeAllConnections();
  }
});

async function serving(answer: RequestListener): Promise<{ address: string; asked: () => number }> {
  let asked = 0;
  const server = http.createServer((request, response) => {
    asked += 1;
    answer(request, response);
  });
  server.on('connection', () => (asked += 1));
  servers.push(server);
  return { address: await listening(server), asked: () => asked };
}

/** What became of a request: its text, or why there is none. */
async function outcome(
  url: string,
  rules: OutwardRules,
  parts: OutwardParts = {},
): Promise<string> {
  const outward = outwardBy(rules, parts);
  try {
    const answer = await outward.fetch(url, { method: 'GET', headers: {} });
    return await answer.text();
  } catch (failure) {
    if (failure instanceof OutwardProblem) return failure.fault;
    throw failure;
  } finally {
    await outward.close();
  }
}
const resolvesTo =
  (...addresses: string[]) =>
  () =>
    Promise.resolve(
      addresses.map((address) => ({ address, family: address.includes(':') ? 6 : 4 })),
    );

describe('an address', () => {
  const INSIDE = [
    '127.0.0.1',
    '127.1.2.3',
    '10.1.2.3',
    '172.16.0.1',
    '172.31.255.254',
    '192.168.0.1',
    '169.254.169.254',
    '100.64.0.1',
    '100.127.255.254',
    '0.0.0.0',
    '224.0.0.1',
    '239.1.1.1',
    '240.0.0.1',
    '255.255.255.255',
    '192.0.2.1',
    '198.18.0.1',
    '::',
    '::1',
    '::ffff:127.0.0.1',
    '::ffff:10.0.0.1',
    '::ffff:8.8.8.8',
    '::127.0.0.1',
    'fe80::1',
    'fc00::1',
    'fd00::1',
    'ff02::1',
    '64:ff9b::7f00:1',
    '2002:7f00:1::',
    '2001::1',
    '2001:db8::1',
  ];
  test.each(INSIDE)('%s is not public, whether it is written or resolved to', async (address) => {
    expect(isWithin('public', address)).toBe(false);
    const host = address.includes(':') ? `[${address}]` : address;
    expect(await outcome(`https://${host}/`, PUBLIC)).toBe('not_public');
    expect(await outcome('https://login.example/', PUBLIC, { resolve: resolvesTo(address) })).toBe(
      'not_public',
    );
  });

  test.each(['8.8.8.8', '1.1.1.1', '2606:4700::1111'])('%s is', (address) => {
    expect(isWithin('public', address)).toBe(true);
  });

  test('written otherwise it is the same one', async () => {
    for (const host of ['2130706433', '0x7f000001', '0177.0.0.1', '127.1', '[::ffff:7f00:1]']) {
      expect(await outcome(`https://${host}/`, PUBLIC)).toBe('not_public');
    }
  });

  test('one inside among several public ones is enough to refuse', async () => {
    const resolve = resolvesTo('8.8.8.8', '192.168.0.1');
    expect(await outcome('https://login.example/', PUBLIC, { resolve })).toBe('not_public');
  });

  test('of any other network agrees with Node’s own list of blocks', () => {
    // IANA IPv4 special-purpose registry, what is not globally reachable; from memory.
    const inside = new BlockList();
    for (const [network, bits] of [
      ['0.0.0.0', 8],
      ['10.0.0.0', 8],
      ['100.64.0.0', 10],
      ['127.0.0.0', 8],
      ['169.254.0.0', 16],
      ['172.16.0.0', 12],
      ['192.168.0.0', 16],
      ['224.0.0.0', 4],
      ['240.0.0.0', 4],
      ['198.18.0.0', 15],
      ['192.0.2.0', 24],
      ['198.51.100.0', 24],
      ['203.0.113.0', 24],
      ['192.0.0.0', 24],
    ] as const) {
      inside.addSubnet(network, bits);
    }
    fc.assert(
      fc.property(fc.ipV4(), (address) => {
        fc.pre(ipaddr.IPv4.isValidFourPartDecimal(address));
        if (inside.check(address)) expect(isWithin('public', address)).toBe(false);
      }),
      { numRuns: 2_000 },
    );
  });
});

describe('a name', () => {
  test('that answers otherwise a moment later gains nothing: what was judged is what is gone to', async () => {
    const inside = await serving((_request, response) => response.end('secrets'));
    const port = new URL(inside.address).port;
    let asked = 0;
    const rebinding = () => {
      asked += 1;
      return resolvesTo(asked === 1 ? '192.0.2.77' : '127.0.0.1')();
    };
    for (let times = 0; times < 3; times += 1) {
      expect(await outcome(`https://login.example:${port}/`, PUBLIC, { resolve: rebinding })).toBe(
        'not_public',
      );
    }
    expect(inside.asked()).toBe(0);
  });

  test('that nobody knows', async () => {
    const unknown = () => Promise.reject(new Error('ENOTFOUND'));
    expect(await outcome('https://nothing.example/', PUBLIC, { resolve: unknown })).toBe(
      'unknown_name',
    );
    expect(await outcome('https://nothing.example/', PUBLIC, { resolve: resolvesTo() })).toBe(
      'unknown_name',
    );
  });

  test('on the operator’s list may lie inside, under that port only; never where a cloud tells its secrets', async () => {
    const allowing: OutwardRules = { allowedHosts: ['login.internal:8443'], loopbackHttp: false };
    const at = (url: string, address: string) =>
      outcome(url, allowing, { resolve: resolvesTo(address) });
    // Reached, and found to be nobody: port 8443 of this machine.
    expect(await at('https://login.internal:8443/', '127.0.0.1')).toBe('unreachable');
    expect(await at('https://login.internal/', '127.0.0.1')).toBe('not_public');
    expect(await at('https://other.internal:8443/', '127.0.0.1')).toBe('not_public');
    expect(await at('https://login.internal:8443/', '169.254.169.254')).toBe('not_public');
    expect(await at('https://login.internal:8443/', '::ffff:169.254.169.254')).toBe('not_public');
    expect(await at('http://login.internal:8443/', '127.0.0.1')).toBe('not_https');
  });
});

describe('a request', () => {
  test('goes by https, unless it is told that this very machine may be asked without', async () => {
    const { address } = await serving((_request, response) => response.end('hello'));
    expect(await outcome(address, PUBLIC)).toBe('not_https');
    expect(await outcome(address, LOOPBACK)).toBe('hello');
    expect(await outcome('http://10.0.0.1/', LOOPBACK)).toBe('not_public');
    expect(
      await outcome('http://login.example/', LOOPBACK, { resolve: resolvesTo('8.8.8.8') }),
    ).toBe('not_public');
    for (const other of ['ftp://login.example/', 'file:///etc/passwd', 'data:text/plain,x']) {
      expect(await outcome(other, LOOPBACK)).toBe('not_https');
    }
  });

  test('follows no redirect', async () => {
    const aim = await serving((_request, response) => response.end('secrets'));
    for (const status of [301, 302, 303, 307, 308]) {
      const { address } = await serving((_request, response) => {
        response.writeHead(status, { location: aim.address }).end();
      });
      expect(await outcome(address, LOOPBACK)).toBe('redirect');
    }
    expect(aim.asked()).toBe(0);
  });

  test('takes no more than half a megabyte, whether it is announced or not', async () => {
    const large = 'x'.repeat(700 * 1024);
    const announced = await serving((_request, response) => response.end(large));
    const chunked = await serving((_request, response) => {
      response.write(large.slice(0, 400 * 1024));
      response.end(large.slice(0, 300 * 1024));
    });
    expect(await outcome(announced.address, LOOPBACK)).toBe('too_large');
    expect(await outcome(chunked.address, LOOPBACK)).toBe('too_large');
  });

  test('waits neither for an answer that does not come, nor for one that trickles', async () => {
    const silent = await serving(() => undefined);
    const trickling = await serving((_request, response) => {
      const drip = setInterval(() => response.write('x'), 20);
      response.on('close', () => {
        clearInterval(drip);
      });
    });
    expect(await outcome(silent.address, LOOPBACK, { waitMs: 200 })).toBe('too_slow');
    expect(await outcome(trickling.address, LOOPBACK, { waitMs: 200 })).toBe('too_slow');
  });

  test('takes no proxy from the environment', async () => {
    const proxy = await serving((_request, response) => response.end('by the proxy'));
    const { address } = await serving((_request, response) => response.end('itself'));
    const before = { ...process.env };
    Object.assign(process.env, { http_proxy: proxy.address, HTTP_PROXY: proxy.address });
    try {
      expect(await outcome(address, LOOPBACK)).toBe('itself');
    } finally {
      for (const name of ['http_proxy', 'HTTP_PROXY']) {
        if (before[name] === undefined) Reflect.deleteProperty(process.env, name);
        else process.env[name] = before[name];
      }
    }
    expect(proxy.asked()).toBe(0);
  });
});

describe('a certificate', () => {
  const DAY_MS = 86_400_000;
  const PROVIDER = 'login.internal';

  /** A provider by TLS on this machine, with a certificate of its own. */
  async function provider(name: string, { from = -DAY_MS, to = DAY_MS } = {}) {
    const day = (ms: number): Date => new Date(Date.now() + ms);
    const made = await generate([{ name: 'commonName', value: name }], {
      keyType: 'ec',
      algorithm: 'sha256',
      notBeforeDate: day(from),
      notAfterDate: day(to),
      extensions: [{ name: 'subjectAltName', altNames: [{ type: 2, value: name }] }],
    });
    let asked = 0;
    const server = https.createServer(
      { key: made.private, cert: made.cert },
      (_asked, response) => {
        asked += 1;
        response.end('the provider');
      },
    );
    servers.push(server);
    const { port } = new URL(await listening(server));
    const rules: OutwardRules = { allowedHosts: [`${PROVIDER}:${port}`], loopbackHttp: false };
    const parts = { resolve: resolvesTo('127.0.0.1') };
    return {
      /** @param ca whose signature counts */
      answer: (ca?: string) =>
        outcome(`https://${PROVIDER}:${port}/`, rules, {
          ...parts,
          ...(ca === undefined ? {} : { ca }),
        }),
      cert: made.cert,
      asked: () => asked,
    };
  }

  test('of an authority that counts, for the name that was asked, within its days: the provider is heard', async () => {
    const well = await provider(PROVIDER);
    expect(await well.answer(well.cert)).toBe('the provider');
  });

  test('that anybody made for themselves is not believed, and nothing is sent', async () => {
    const own = await provider(PROVIDER);
    expect(await own.answer()).toBe('unreachable');
    const another = await provider(PROVIDER);
    expect(await own.answer(another.cert)).toBe('unreachable');
    expect(own.asked()).toBe(0);
  });

  test('for another name is not believed', async () => {
    const other = await provider('elsewhere.internal');
    expect(await other.answer(other.cert)).toBe('unreachable');
    expect(other.asked()).toBe(0);
  });

  test.each([
    ['that has run out', { from: -2 * DAY_MS, to: -DAY_MS }],
    ['that is not yet good', { from: DAY_MS, to: 2 * DAY_MS }],
  ])('%s is not believed', async (_how, days) => {
    const old = await provider(PROVIDER, days);
    expect(await old.answer(old.cert)).toBe('unreachable');
    expect(old.asked()).toBe(0);
  });
});
