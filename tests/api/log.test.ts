/** The log tells what happened by numbers and codes, and nothing about anybody. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { describeFault } from '../../src/http/logging.ts';
import { PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

/** As a patient's and a person's data look; invented. */
const SECRETS = [
  'Musterfrau',
  'Annabella',
  'annabella@patients.example',
  '+43 660 5550123',
  '5550123',
  '1961-04-17',
  'the password of Annabella',
  'Lindengasse',
];
const [FAMILY, GIVEN, EMAIL, PHONE, , BORN, LONG_PASSWORD, STREET] = SECRETS;
const everything = `${GIVEN} ${FAMILY} ${EMAIL} ${PHONE} ${BORN} ${STREET}`;

type Line = Readonly<Record<string, unknown>>;
const lines = (of: TestClinic): Line[] => of.logLines.map((line) => JSON.parse(line) as Line);

describe('the log', () => {
  test('has one line a request, with number, route, status, time, clinic and person', async () => {
    const { headers } = await clinic
      .as('auditor')
      .get(`/api/v1/people/${clinic.people.auditor.id}`);
    const mine = lines(clinic).filter((line) => line['requestId'] === headers['x-request-id']);
    expect(mine).toHaveLength(1);
    const { ms, time, ...line } = mine[0] ?? {};
    expect(line).toEqual({
      level: 30,
      msg: 'request',
      requestId: headers['x-request-id'],
      method: 'GET',
      route: '/api/v1/people/:personId',
      status: 200,
      clinicId: clinic.clinicId,
      personId: clinic.people.auditor.id,
    });
    expect(ms).toEqual(expect.any(Number));
    expect(time).toEqual(expect.any(Number));
  });

  test('knows nothing of what was in bodies, addresses, queries and headers', async () => {
    const admin = clinic.as('administrator');
    const q = encodeURIComponent(everything);
    const answers = [
      await clinic.stranger.post('/api/v1/sign-in', { email: EMAIL, password: LONG_PASSWORD }),
      await admin.post('/api/v1/people', {
        email: EMAIL,
        printedName: `${GIVEN} ${FAMILY}`,
        roles: [],
        ...PASSWORD_AGAIN,
      }),
      await clinic.stranger.post('/api/v1/sign-in/code', {
        email: EMAIL,
        code: LONG_PASSWORD,
        newPassword: LONG_PASSWORD,
      }),
      await admin.post('/api/v1/people', { email: everything, printedName: 7, [STREET ?? '']: 1 }),
      await admin.post('/api/v1/people', everything as never, {
        headers: { 'content-type': 'application/json' },
      }),
      await admin.get(`/api/v1/people?name=${q}`),
      await admin.get(`/api/v1/people/${q}`),
      await admin.get(`/api/v1/nothing/${q}?phone=${q}`),
      await admin.get(`/api/v1/%zz${q}`),
      await admin.get('/api/v1/me', { 'user-agent': everything, 'x-request-id': everything }),
    ];
    expect(answers.map(({ status }) => status)).toEqual([
      401, 201, 401, 400, 400, 400, 400, 404, 400, 200,
    ]);
    expect(clinic.logLines.length).toBeGreaterThanOrEqual(answers.length);
    const log = clinic.logLines.join('');
    for (const secret of SECRETS) expect(log).not.toContain(secret);
  });

  test('tells the cause of a fault without what the fault quotes', async () => {
    const failure = Object.assign(
      new Error(
        `invalid input "${GIVEN}": Key (email)=(${EMAIL}) of '${FAMILY}', call ${PHONE} [${BORN}]`,
      ),
      { code: 'P2010', detail: everything, meta: { code: '22P02', message: everything } },
    );
    const broken = await testClinic({
      numberPrefix: 'FA',
      tampered: (store) => ({
        ...store,
        prisma: { $transaction: () => Promise.reject(failure) } as never,
      }),
    });
    const { status } = await broken.as('auditor').get('/api/v1/me');
    await broken.close();
    expect(status).toBe(500);
    const fault = lines(broken).find(({ msg }) => msg === 'fault');
    expect(fault?.['err']).toMatchObject({ type: 'Error', codes: ['P2010', '22P02'] });
    expect(JSON.stringify(fault)).toContain('invalid input');
    const log = broken.logLines.join('');
    for (const secret of SECRETS) expect(log).not.toContain(secret);
  });

  test('describes what is no error at all', () => {
    expect(describeFault(everything)).toEqual({ type: 'string', codes: [], message: '', at: [] });
  });
});
