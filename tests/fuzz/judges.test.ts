/** The attack can fail: what a service must never do is done on the wire, and is found. */
import http from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Fault } from './support/attack.ts';
import type { Request } from './support/bind.ts';
import { ENDLESS, Sender, type Answer } from './support/send.ts';
import { twoClinics, type Start, type Wire } from './support/start.ts';

let start: Start;
beforeAll(async () => {
  start = await twoClinics({ isFull: false });
}, 600_000);
afterAll(() => start.close());

const SEED = 1;
/** Of one route: enough for a few of each way to knock. */
const REQUESTS = 150;

/** Attacks one route over a wire that does something to what the service answers. */
async function attacked(
  permission: string,
  spoilt: (answer: Answer, request: Request) => Answer,
): Promise<readonly Fault[]> {
  const wire: Wire = {
    send: async (request) => {
      const answer = await start.sender.send(request);
      // What is asked on the way is left alone.
      return isOf(permission, request) ? spoilt(answer, request) : answer;
    },
  };
  return attackedBy(permission, wire);
}

async function attackedBy(permission: string, sender: Wire): Promise<readonly Fault[]> {
  const routes = start.document.routes.filter((route) => route.permission === permission);
  expect(routes).toHaveLength(1);
  const attack = start.attackBy(SEED, { document: { ...start.document, routes }, sender });
  await attack.run(REQUESTS);
  return attack.faults;
}

const isOf = (permission: string, { method, url }: Request): boolean =>
  permission.startsWith(`${method} `) &&
  url.split('?')[0]?.split('/').length === permission.split('/').length;

const said = (faults: readonly Fault[]): readonly string[] => faults.map(({ what }) => what);

const withText = (answer: Answer, text: string): Answer => ({
  ...answer,
  text,
  bytes: Buffer.from(text),
});
const isDone = ({ status }: Answer): boolean => status === 200;

const PLACES = 'GET /api/v1/places';
const ORDER = 'GET /api/v1/orders/:orderId';

describe('the attack finds', () => {
  test('nothing, where nothing is wrong', async () => {
    expect(await attacked(PLACES, (answer) => answer)).toEqual([]);
    expect(await attacked('POST /api/v1/places', (answer) => answer)).toEqual([]);
  });

  test('an answer of 500', async () => {
    const faults = await attacked(PLACES, (answer) =>
      isDone(answer) ? { ...answer, status: 500 } : answer,
    );
    expect(said(faults)).toContain('answered 500');
    expect(faults[0]).toMatchObject({ permission: PLACES, request: { method: 'GET' } });
  });

  test('an answer that drips for ever, one that never begins, and one that is cut off', async () => {
    const how: Record<string, (response: http.ServerResponse) => void> = {
      drips: (response) => {
        response.writeHead(200, { 'content-type': 'application/json' });
        const timer = setInterval(() => response.write(' '), 10);
        response.on('close', () => {
          clearInterval(timer);
        });
      },
      'never begins': () => undefined,
      'is cut off': (response) => {
        response.writeHead(200, { 'content-length': '100' });
        response.write('{');
        setImmediate(() => response.destroy());
      },
    };
    for (const [name, answer] of Object.entries(how)) {
      const server = http.createServer((_request, response) => {
        answer(response);
      });
      await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
      const { port } = server.address() as AddressInfo;
      const broken = new Sender(`http://127.0.0.1:${String(port)}`, 200);
      const faults = await attackedBy(PLACES, broken);
      const expected =
        name === 'is cut off'
          ? /no answer: (?:aborted|the answer was cut off|socket hang up)/
          : new RegExp(ENDLESS);
      expect(said(faults).join('\n'), name).toMatch(expected);
      broken.close();
      server.closeAllConnections();
      await new Promise((done) => server.close(done));
    }
  });

  test('a byte of the other clinic: an id, a text, its mark, in a body or a header', async () => {
    const [, theirs] = start.sides;
    const id = theirs.pool.idOf('order', 1) ?? '';
    const ours = (request: Request): boolean =>
      !(request.body ?? request.url).includes(id) && isOurs(request);
    for (const [byte, expected] of [
      [id, `names ${id} of the other clinic`],
      [theirs.secrets[0] ?? '', `says "${theirs.secrets[0] ?? ''}" of the other clinic`],
      [theirs.mark, `says "${theirs.mark}" of the other clinic`],
    ] as const) {
      const inBody = await attacked(PLACES, (answer, request) =>
        isDone(answer) && ours(request)
          ? withText(answer, answer.text.replace('"items":[', `"items":[{"name":"${byte}"},`))
          : answer,
      );
      expect(said(inBody)).toContain(expected);
      const inHeader = await attacked(PLACES, (answer, request) =>
        isDone(answer) && ours(request)
          ? { ...answer, headers: { ...answer.headers, link: byte } }
          : answer,
      );
      expect(said(inHeader)).toContain(expected);
    }
  });

  test('a paper that says a text of the other clinic', async () => {
    const [, theirs] = start.sides;
    const permission = 'GET /api/v1/orders/:orderId/traveller.pdf';
    const order = theirs.pool.idOf('order', 1) ?? '';
    const paper = await theirs.staff
      .client('technician')
      .get(`/api/v1/orders/${order}/traveller.pdf`);
    const bytes = paper.body as Buffer;
    expect(bytes.subarray(0, 5).toString()).toBe('%PDF-');
    const faults = await attacked(permission, (answer, request) =>
      isDone(answer) && isOurs(request)
        ? { ...answer, text: bytes.toString('utf8'), bytes }
        : answer,
    );
    expect(said(faults).join('\n')).toContain('of the other clinic');
  });

  test('an answer that its schema does not have: another type, a field too few, another status', async () => {
    const faults = await attacked(PLACES, (answer) =>
      isDone(answer) ? withText(answer, '{"items":7}') : answer,
    );
    expect(said(faults).join('\n')).toContain('answer/items must be array');
    const fewer = await attacked(ORDER, (answer) =>
      isDone(answer) ? withText(answer, answer.text.replace('"stage":', '"stages":')) : answer,
    );
    expect(said(fewer).join('\n')).toContain("must have required property 'stage'");
    const other = await attacked(PLACES, (answer) =>
      isDone(answer) ? { ...answer, status: 206 } : answer,
    );
    expect(said(other)).toContain('status 206 is not documented');
    const html = await attacked(PLACES, (answer) =>
      isDone(answer)
        ? { ...answer, headers: { ...answer.headers, 'content-type': 'text/html' } }
        : answer,
    );
    expect(said(html)).toContain('content type text/html is not documented');
  });

  test('who is let in and may not, and who may and is sent away', async () => {
    const permission = 'POST /api/v1/places';
    const letIn = await attacked(permission, (answer) =>
      answer.status === 401 || answer.status === 403 ? { ...answer, status: 201 } : answer,
    );
    const whom = said(letIn).join('\n');
    for (const way of ['front_desk', 'expired', 'enrolment', 'bench', 'ended'])
      expect(whom).toMatch(new RegExp(`accepted from ${way}.*, who may not`));
    const refused = withCode('role-may-not', 403);
    const sentAway = await attacked(PLACES, (answer) =>
      isDone(answer) ? refused(answer) : answer,
    );
    expect(said(sentAway).join('\n')).toContain('who may, was told it may not');
  });

  test('an ended sign-in that is told what is in the record', async () => {
    const told = await attacked(ORDER, (answer) =>
      answer.status === 401 ? withCode('not-found', 404)(answer) : answer,
    );
    expect(said(told).join('\n')).toMatch(/whose sign-in \(ended\) is over/);
  });

  test('insides that show: a stack, SQL, a table’s words, a missing header', async () => {
    for (const [detail, what] of [
      ['Error\\n    at work (/x/y.ts:1:1)', 'shows a stack'],
      ['select id from person where true', 'shows SQL'],
      ['violates a constraint', 'shows the database’s words'],
      ['in /var/lib/castbook', 'shows a path of the machine'],
    ] as const) {
      const faults = await attacked(PLACES, (answer) =>
        answer.status >= 400
          ? withText(answer, answer.text.replace('"detail":"', `"detail":"${detail} `))
          : answer,
      );
      expect(said(faults)).toContain(what);
    }
    const bare = await attacked(PLACES, (answer) => ({ ...answer, headers: {} }));
    expect(said(bare)).toContain('header x-content-type-options: none');
  });
});

/** Whether it was sent by somebody of the first clinic, as the token says. */
function isOurs({ headers }: Request): boolean {
  const [, claims = ''] = (headers['authorization'] ?? '').split('.');
  const said = Buffer.from(claims, 'base64url').toString();
  return said.includes(start.sides[0].staff.clinic.clinicId);
}

const withCode = (code: string, status: number) => (answer: Answer) => ({
  ...withText(answer, JSON.stringify({ code })),
  status,
});
