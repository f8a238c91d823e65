/**
 * 45 CFR 164.502(b): every read of the API, as every role, tells of a patient exactly what the
 * table of src/access/minimumNecessary.ts says, and no more; nor does any refusal or the log.
 * Found by marks that stand in every field of one patient (support/markedPatient.ts).
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  mayOpen,
  OPENABLE,
  PATIENT_FIELDS,
  PATIENT_FIELD_NAMES,
  ROLES_THAT_OPEN,
  type PatientField,
} from '../../src/access/minimumNecessary.ts';
import { PERMISSIONS, PUBLIC } from '../../src/access/permissions.ts';
import { ROLES, type Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { takeOn } from '../support/clinic.ts';
import {
  everyRead,
  idsOf,
  READS,
  TOO_FEW,
  told,
  whoMay,
  type Asked,
  type Told,
} from '../support/everyRead.ts';
import { aDoer, doneWork } from '../support/longWork.ts';
import { markedLimb, TYPED, type MarkedLimb } from '../support/markedPatient.ts';
import { aKey } from '../support/signedHeads.ts';

let clinic: TestClinic;
let limb: MarkedLimb;
let ids: Awaited<ReturnType<typeof idsOf>>;
let answers: Readonly<Record<Role, readonly (Told & { readonly asked: Asked })[]>>;

beforeAll(async () => {
  clinic = await testClinic({ headSigningKey: aKey() });
});
afterAll(() => clinic.close());

// The others read what this one asked.
test('a limb is made with a mark in every field, and every read is asked by every role', async () => {
  limb = await markedLimb(clinic);
  const doer = aDoer(clinic.store, clinic.clock.now);
  await doneWork(clinic, 'administrator', { kind: 'record_export' });
  await doneWork(clinic, 'auditor', { kind: 'record_export', orderId: limb.orderId });
  for (const role of ['front_desk', 'prosthetist', 'auditor', 'administrator'] as const) {
    await doneWork(clinic, role, { kind: 'recall_of_many', of: 'lot', list: [limb.lot] });
  }
  await doneWork(clinic, 'front_desk', {
    kind: 'patient_export',
    patientId: limb.patientId,
    reason: 'asked at the desk',
    handedTo: 'the patient',
  });
  await doer.stop();
  await clinic.as('auditor').post('/api/v1/record/heads').expect(201);
  // What was opened to the technician has closed again.
  clinic.clock.pass(31);
  ids = await idsOf(clinic, limb);
  const walked: Partial<Record<Role, (Told & { asked: Asked })[]>> = {};
  for (const role of ROLES) walked[role] = await walk(role);
  answers = walked as typeof answers;
}, 600_000);

async function walk(role: Role): Promise<(Told & { asked: Asked })[]> {
  const made: (Told & { asked: Asked })[] = [];
  const client = clinic.as(role);
  for (const asked of [...everyRead(role, limb, ids), ...(await resultsOf(role))]) {
    made.push({ asked, ...(await told(client, asked)) });
  }
  return made;
}

/** The results of the long works that the role sees, all of them. */
async function resultsOf(role: Role): Promise<Asked[]> {
  const { status, body } = await clinic.as(role).get('/api/v1/long-works');
  if (status !== 200) return [];
  return (body as { items: { id: string; kind: string }[] }).items.flatMap(({ id, kind }) =>
    ['result', ...(kind === 'patient_export' ? ['record.json', 'record.pdf'] : [])].map((part) => ({
      permission: `GET /api/v1/long-works/:longWorkId/${part}`,
      url: `/api/v1/long-works/${id}/${part}`,
      // A patient's whole record is handed out by whoever asked for it.
      ...(kind === 'patient_export' ? { also: [403], wholeRecord: true as const } : {}),
    })),
  );
}

/** On a recall, and in the result of many, who it is and how to call are lines of their own. */
const ofRecall = ({ permission }: Asked): boolean =>
  permission.startsWith('GET /api/v1/recall') || permission.endsWith('/:longWorkId/result');
const ON_RECALL: Readonly<Partial<Record<PatientField, PatientField>>> = {
  givenName: 'recallName',
  familyName: 'recallName',
  phone: 'recallPhone',
};

/** The fields whose marks stand in a text. */
const marked = (text: string): PatientField[] =>
  PATIENT_FIELD_NAMES.filter(
    (field) => !field.startsWith('recallN') && !field.startsWith('recallP'),
  ).filter((field) => limb.marks[field].some((mark) => mark.test(text)));

/** What a text shows, by the lines of the table that it is shown by. */
const shownBy = (asked: Asked, text: string): PatientField[] =>
  marked(text).map((field) => (ofRecall(asked) ? (ON_RECALL[field] ?? field) : field));

/**
 * The whole record is the patient's own (45 CFR 164.524): why somebody opened more of it is told
 * there too, and so to the desk that hands it over.
 */
const inWholeRecord = (asked: Asked, field: PatientField): boolean =>
  asked.wholeRecord === true && field === 'openedBecause';

const mayNot = (role: Role, asked: Asked, text: string): string[] =>
  shownBy(asked, text)
    .filter((field) => PATIENT_FIELDS[field][role] !== 'sees' && !inWholeRecord(asked, field))
    .map((field) => `${asked.permission} (${asked.url}) shows ${field}`);

describe('what each role is told of a patient', () => {
  test('every read of the API was asked by every role that may, and found something', () => {
    const wrong: string[] = [];
    for (const role of ROLES) {
      const asked = new Set(answers[role].map((each) => each.asked.permission));
      const mine = READS.filter((each) => {
        const who = whoMay(each);
        return who !== PUBLIC && who.includes(role);
      });
      wrong.push(...mine.filter((each) => !asked.has(each)).map((each) => `${role}: ${each}`));
      for (const { asked: each, status, text } of answers[role]) {
        if (status === 200 || each.also?.includes(status) === true) continue;
        wrong.push(`${role} ${status} ${each.url} ${text.slice(-300)}`);
      }
    }
    // What is refused to one who may not see this one of it was found by another.
    const found = new Set(
      ROLES.flatMap((role) => answers[role].filter(({ status }) => status === 200)).map(
        ({ asked }) => asked.permission,
      ),
    );
    const closed = READS.filter((each) => whoMay(each) !== PUBLIC && !TOO_FEW.includes(each));
    expect([...wrong, ...closed.filter((each) => !found.has(each))]).toEqual([]);
  });

  test.each(ROLES)('%s: no answer shows a field that the table does not give', (role) => {
    expect(answers[role].flatMap(({ asked, text }) => mayNot(role, asked, text))).toEqual([]);
  });

  test.each(ROLES)(
    '%s: every field that the table gives stands in some answer, all of it',
    (role) => {
      const missing = PATIENT_FIELD_NAMES.filter(
        (field) => PATIENT_FIELDS[field][role] === 'sees',
      ).flatMap((field) => {
        const texts = answers[role].filter(({ asked }) =>
          field.startsWith('recallN') || field.startsWith('recallP') ? ofRecall(asked) : true,
        );
        return limb.marks[field]
          .filter((mark) => !texts.some(({ text }) => mark.test(text)))
          .map((mark) => `${field}: ${String(mark)}`);
      });
      expect(missing).toEqual([]);
    },
  );

  test('no route that is open to all tells anything of the patient', async () => {
    const open = READS.filter((each) => whoMay(each) === PUBLIC);
    expect(open.length).toBeGreaterThan(5);
    for (const permission of open) {
      const url = (permission.split(' ')[1] ?? '')
        .replace(':number', limb.orderNumber)
        .replace(':socket', 'D1')
        .replace(':placeId', ids['place']?.[0] ?? '')
        .replace(':code', 'possible-duplicate');
      const { text } = await told(clinic.stranger, { permission, url });
      // The API's own description has K3 and the like as words of the trade.
      const said = marked(text).filter((field) => field !== 'activity');
      expect({ url, said }).toEqual({ url, said: [] });
    }
  });
});

describe('what a refusal and the log tell', () => {
  const WRITES = Object.keys(PERMISSIONS).filter(
    // What ends a sign-in tells nothing of a patient, and who asked could ask nothing more.
    (each) => !READS.includes(each) && !/\/sign-out$|\/sign-in|\/sessions\//.test(each),
  );

  test.each(ROLES)('%s: no refusal of any route shows more than the answers do', async (role) => {
    const found: string[] = [];
    // A code, a reset: what is done to a person's sign-ins is done to nobody who asks.
    const newcomer = await takeOn(clinic, { roles: ['technician'] });
    for (const permission of [...WRITES, ...READS.filter((each) => whoMay(each) !== PUBLIC)]) {
      const [method = '', template = ''] = permission.split(' ');
      if (template === '/api/v1/changes') continue;
      const url = template.replaceAll(/:(\w+)/g, (_all, name: string) => {
        if (name === 'subjectKind') return 'patient';
        if (name === 'subjectId') return limb.patientId;
        if (name === 'number') return limb.orderNumber;
        if (name === 'jointKind') return 'distal';
        if (name === 'personId') return newcomer.id;
        if (name === 'socketId') return limb.socketId;
        const table = name.replace(/Id$/, '').replaceAll(/[A-Z]/g, (c) => `_${c.toLowerCase()}`);
        const known = { order: 'fabrication_order', cast: 'limb_cast', tool: 'shop_tool' }[table];
        return ids[known ?? table]?.[0] ?? limb.orderId;
      });
      const who = whoMay(permission);
      // What the role may read was read above; here it is refused, or asked with nothing in it.
      if (method === 'GET' && who !== PUBLIC && who.includes(role)) continue;
      const client = clinic.as(role);
      const { text } =
        method === 'GET'
          ? await told(client, { permission, url })
          : method === 'PATCH'
            ? await client.patch(url, {}, '"1"')
            : await client.post(url, {});
      found.push(...mayNot(role, { permission, url }, text));
    }
    expect(found).toEqual([]);
  });

  test('somebody of the same name is told to the desk, which sees who that is', async () => {
    const again = await clinic.as('front_desk').post('/api/v1/patients', {
      chartNumber: 'CH-9999',
      givenName: TYPED.given,
      familyName: TYPED.family,
      birthDate: TYPED.birthDate,
      bodyMass: { massKg: 80, measuredOn: '2026-03-01' },
    });
    expect(again.body.code).toBe('possible-duplicate');
    expect(again.text).toContain(limb.chartNumber);
    expect(mayNot('front_desk', { permission: '', url: '' }, again.text)).toEqual([]);
  });

  test('a search by what the role does not see tells not even whether there is somebody', async () => {
    const tech = clinic.as('technician');
    for (const url of ['/api/v1/search', '/api/v1/trace/find']) {
      const [there, nobody] = [TYPED.family, 'Þqznobody7f3a'].map((text) =>
        tech.post(url, { text }),
      );
      expect((await there)?.body).toEqual((await nobody)?.body);
    }
    const ask = (name: string) => tech.post('/api/v1/patients/search', { name });
    expect((await ask(TYPED.family)).body.code).toBe('search-beyond-role');
    expect((await ask('Þqznobody7f3a')).body.code).toBe('search-beyond-role');
  });

  test('the log has none of it, at its most talkative', () => {
    expect(clinic.logLines.length).toBeGreaterThan(100);
    const personal = PATIENT_FIELD_NAMES.filter(
      (field) => !['chartNumber', 'activity', 'bodyMass', 'appointmentTime'].includes(field),
    );
    // How long a request took is a figure like any other.
    const lines = clinic.logLines.map((line) =>
      line.replace(/"(?:responseTime|time|\w*[mM]s)":[\d.]+/g, ''),
    );
    const found = lines.flatMap((line) =>
      personal
        .filter((field) => limb.marks[field].some((mark) => mark.test(line)))
        .map((field) => `${field}: ${line}`),
    );
    expect(found).toEqual([]);
  });
});

describe('what is opened for a reason', () => {
  test('is what the table says, for half an hour, for one person and one patient', async () => {
    const url = `/api/v1/patients/${limb.patientId}`;
    const other = (await clinic.as('front_desk').post('/api/v1/patients', {
      chartNumber: 'CH-7777',
      givenName: 'Somebody',
      familyName: 'Else',
      birthDate: '1980-05-05',
      phone: '0043 1 5551234',
      bodyMass: { massKg: 80, measuredOn: '2026-03-01' },
    })) as { body: { id: string } };
    for (const role of ROLES_THAT_OPEN) {
      const client = clinic.as(role);
      const fields = mayOpen([role]);
      const opened = await client.post(`${url}/more`, {
        reason: 'emergency',
        words: 'The pin does not hold.',
      });
      expect(opened.status).toBe(201);
      const seen = (await client.get(url)).body as Record<string, unknown>;
      for (const field of OPENABLE) {
        const sees = PATIENT_FIELDS[field][role] === 'sees' || fields.includes(field);
        expect({ role, field, told: field in seen }).toEqual({ role, field, told: sees });
      }
      expect('address' in seen).toBe(false);
      // Beside an order as well, and of nobody else.
      const order = (await client.get(`/api/v1/orders/${limb.orderId}`)).body as {
        patient: { familyName?: string };
      };
      expect(order.patient.familyName).toBe(TYPED.family);
      const beside = (await client.get(`/api/v1/patients/${other.body.id}`)).body as object;
      expect('phone' in beside).toBe(false);
      clinic.clock.pass(31);
      const after = (await client.get(url)).body as Record<string, unknown>;
      expect(fields.filter((field) => field in after)).toEqual([]);
    }
    const never = ROLES.filter((role) => !ROLES_THAT_OPEN.includes(role));
    expect(never).toEqual(['front_desk', 'prosthetist', 'administrator']);
    for (const role of never) {
      const { status } = await clinic.as(role).post(`${url}/more`, {
        reason: 'emergency',
        words: 'The pin does not hold.',
      });
      expect(status).toBe(403);
    }
  });
});
