/**
 * Every read of the API, with ids and questions that find something of one patient's limb, and
 * the answers as text: JSON, CSV, drawings, papers read back, the head of a stream, headers.
 */
import type { Readable } from 'node:stream';
import { PERMISSIONS, PUBLIC, type Who } from '../../src/access/permissions.ts';
import { SUBJECT_KINDS, type SubjectKind } from '../../src/domain/eventKinds.ts';
import { mayTraceBy } from '../../src/domain/trace.ts';
import type { Role } from '../../src/domain/words.ts';
import type { Client, TestClinic } from './clinic.ts';
import { PICTURE_SHOWN, TYPED, type MarkedLimb } from './markedPatient.ts';
import { readPdf } from './pdf.ts';

export interface Asked {
  /** As the table of permissions names it. */
  readonly permission: string;
  readonly url: string;
  /** Sent where the question is a POST. */
  readonly body?: object;
  /** Answers besides 200 that are as they should be. */
  readonly also?: readonly number[];
  /** A patient's whole record, as it is handed to the patient. */
  readonly wholeRecord?: true;
}

export interface Told {
  readonly status: number;
  readonly text: string;
}

/** Charts of the clinic's own figures that one limb is too few for; they tell of nobody. */
export const TOO_FEW = ['GET /api/v1/quality/turnaround.svg'];

/** The routes that only read: every GET, and the questions that are a POST so that no name stands in an address. */
export const READS: readonly string[] = [
  ...Object.keys(PERMISSIONS).filter((each) => each.startsWith('GET ')),
  'POST /api/v1/patients/search',
  'POST /api/v1/patients/look-alikes',
  'POST /api/v1/search',
  'POST /api/v1/trace/find',
  'POST /api/v1/udi/readings',
];
export const whoMay = (permission: string): Who =>
  (PERMISSIONS as Readonly<Record<string, Who>>)[permission] ?? PUBLIC;

type Ids = Readonly<Record<string, readonly string[]>>;

/** Every id of the clinic, table by table; what is of the limb first. */
export async function idsOf(clinic: TestClinic, limb: MarkedLimb): Promise<Ids> {
  const tables = await clinic.store.raw<{ name: string }>(
    `select a.table_name as name from information_schema.columns a
       join information_schema.columns b using (table_schema, table_name)
     where a.table_schema = 'public' and a.column_name = 'clinic_id' and b.column_name = 'id'`,
  );
  const ids: Record<string, string[]> = {};
  for (const { name } of tables) {
    const rows = await clinic.store.raw<{ id: string }>(
      `select id::text as id from "${name}" where clinic_id = $1 order by id limit 3`,
      [clinic.clinicId],
    );
    ids[name] = rows.map(({ id }) => id);
  }
  const worn = await clinic.store.raw<{ item: string; joint: string; layup: string }>(
    `select (select c.thing_id::text from custody c join place p on p.id = c.place_id
        where p.socket_id = $1 and p.position = 'lock') as item,
       (select id::text from layup where socket_id = $1 limit 1) as layup`,
    [limb.socketId],
  );
  return {
    ...ids,
    socket: [limb.socketId, limb.checkId],
    item: [worn[0]?.item ?? ''],
    layup: [worn[0]?.layup ?? ''],
    batch: [limb.batchId],
    appointment: [limb.appointmentId, ...(ids['appointment'] ?? [])],
    place: [limb.shop.bin],
    clinic: [clinic.clinicId],
  };
}

const TABLE_OF: Readonly<Record<string, string>> = {
  order: 'fabrication_order',
  cast: 'limb_cast',
  tool: 'shop_tool',
};
/** Where a subject of the history is kept, as far as its table has another name. */
const SUBJECT_TABLE: Readonly<Record<string, string>> = {
  order: 'fabrication_order',
  cast: 'limb_cast',
  calendar: 'work_calendar',
};

/** Whose history has fields of the patient: each is asked in every form, all others once. */
const OF_THE_PATIENT: readonly SubjectKind[] = [
  'patient',
  'order',
  'socket',
  'appointment',
  'finding',
];

const idFor = (parameter: string, ids: Ids): string => {
  const thing = parameter.replace(/Id$/, '');
  const table = TABLE_OF[thing] ?? thing.replaceAll(/[A-Z]/g, (c) => `_${c.toLowerCase()}`);
  return ids[table]?.[0] ?? '';
};

const period = 'from=2026-01-01&to=2026-12-31';

/** What must be asked beside the address, route by route; a list where one question is not enough. */
function questions(url: string, role: Role, limb: MarkedLimb): readonly string[] {
  const { orderId, patientId, socketId, lot, batchId, measureSets } = limb;
  if (url.startsWith('/api/v1/trace')) {
    const keys = { patient: patientId, order: orderId, socket: socketId, lot, batch: batchId };
    return (Object.keys(keys) as (keyof typeof keys)[])
      .filter((by) => mayTraceBy(by, [role]).ok)
      .map((by) => `${by}=${encodeURIComponent(keys[by])}`);
  }
  if (url.startsWith('/api/v1/recall')) return [`lot=${lot}`, `batch=${batchId}`];
  if (url.startsWith('/api/v1/history/')) return ['looks=yes'];
  switch (url) {
    case '/api/v1/orders':
      return ['', `patientId=${patientId}`, `q=${limb.chartNumber}`, 'sort=pressing'];
    case '/api/v1/appointments':
      return ['', `orderId=${orderId}`, `patientId=${patientId}`, 'from=2027-03-01&to=2027-03-05'];
    case '/api/v1/record/heads/:number/inclusion':
      return ['event=1'];
    case '/api/v1/record/heads/:number/consistency':
      return ['from=1'];
    case '/api/v1/appointments/free':
      return [`purpose=service&orderId=${orderId}`];
    case '/api/v1/measure-sets/comparison':
      return [`first=${measureSets[0]}&second=${measureSets[1]}`];
    case '/api/v1/torque/joint.svg':
      return ['fasteners=4'];
    case '/api/v1/costs':
    case '/api/v1/quality':
    case '/api/v1/quality/turnaround.svg':
    case '/api/v1/quality/shares.svg':
      return [period];
    default:
      return [''];
  }
}

/** The bodies of the questions that are a POST. */
const bodies = (url: string, { chartNumber }: MarkedLimb): readonly object[] => {
  const texts = [chartNumber, TYPED.family, '7731931', TYPED.given];
  switch (url) {
    case '/api/v1/patients/search':
      return [{}, { chartNumber }, { name: TYPED.family }, { phone: TYPED.phone }];
    case '/api/v1/patients/look-alikes':
      return [{ givenName: TYPED.given, familyName: TYPED.family, birthDate: TYPED.birthDate }];
    case '/api/v1/search':
    case '/api/v1/trace/find':
      return texts.map((text) => ({ text }));
    case '/api/v1/udi/readings':
      return [{ scans: ['(01)09520000010072(21)S1'] }];
    default:
      return [];
  }
};

/** Everything that a role may ask of the API, as it is asked. */
export function everyRead(role: Role, limb: MarkedLimb, ids: Ids): Asked[] {
  return READS.flatMap((permission): Asked[] => {
    const [method = '', url = ''] = permission.split(' ');
    const who = whoMay(permission);
    if (who === PUBLIC || !who.includes(role)) return [];
    if (method === 'POST') {
      // What the role does not search by is refused, and nothing told.
      return bodies(url, limb).map((body) => ({ permission, url, body, also: [403] }));
    }
    const addresses = url.includes(':subjectKind')
      ? SUBJECT_KINDS.flatMap((kind) => {
          const found = ids[SUBJECT_TABLE[kind] ?? kind] ?? [];
          const ofPatient = OF_THE_PATIENT.includes(kind);
          if (!ofPatient && url.includes('file.')) return [];
          return (ofPatient ? found : found.slice(0, 1)).map((id) =>
            url.replace(':subjectKind', kind).replace(':subjectId', id),
          );
        })
      : [
          url.replaceAll(/:(\w+)/g, (_all, name: string) => {
            if (name === 'number') return url.includes('/heads/') ? '1' : limb.orderNumber;
            if (name === 'jointKind') return 'distal';
            return idFor(name, ids);
          }),
        ];
    return addresses.flatMap((address) =>
      questions(url, role, limb).map((query) => ({
        permission,
        url: query === '' ? address : `${address}?${query}`,
        // Another person's history is for who oversees; other people's long work is not there.
        ...(TOO_FEW.includes(permission) ? { also: [422] } : {}),
        ...(/:(subjectKind|longWorkId)/.test(url) ? { also: [403, 404] } : {}),
      })),
    );
  });
}

/** Asks, and reads whatever comes back. */
export async function told(client: Client, { permission, url, body }: Asked): Promise<Told> {
  const test = body === undefined ? client.get(url) : client.post(url, body, { key: null });
  if (permission === 'GET /api/v1/changes') void test.set('last-event-id', '1');
  const answer = await test.buffer(true).parse((response, done) => {
    const reading = response as unknown as Readable & { headers: Record<string, string> };
    const isLive = reading.headers['content-type']?.startsWith('text/event-stream') === true;
    const chunks: Buffer[] = [];
    reading.on('data', (chunk: Buffer) => {
      chunks.push(chunk);
      // What comes first has all that was missed; there is no end that one could wait for.
      if (!isLive || !Buffer.concat(chunks).includes('event: listening')) return;
      done(null, Buffer.concat(chunks));
      reading.destroy();
    });
    reading.on('end', () => {
      if (!isLive) done(null, Buffer.concat(chunks));
    });
  });
  const bytes = answer.body as Buffer;
  const headers = Object.entries(answer.headers as Record<string, string>)
    .map(([name, value]) => `${name}: ${value}`)
    .join('\n');
  return {
    status: answer.status,
    text: `${headers}\n${await asText(bytes, answer.headers['content-type'] ?? '')}`,
  };
}

async function asText(bytes: Buffer, contentType: string): Promise<string> {
  if (contentType.startsWith('application/pdf')) {
    const { words, info } = await readPdf(bytes);
    return `${words}\n${JSON.stringify(info)}`;
  }
  if (/^image\/(jpeg|png|webp)/.test(contentType)) return PICTURE_SHOWN;
  return bytes.toString('utf8');
}
