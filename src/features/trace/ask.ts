/** From the question to what it is about: the key, the record, and what belongs to it. */
import { patientSeenBy, type PatientSeen } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import type { Day } from '../../domain/days.ts';
import type { SubjectKind } from '../../domain/eventKinds.ts';
import { makeSocketNumber, parseOrderNumber, parseSocketNumber } from '../../domain/orderNumber.ts';
import { reason } from '../../domain/reasons/index.ts';
import { mayTracePerson, TRACE_KEYS, type TraceKey } from '../../domain/trace.ts';
import { granted, refused, type Verdict } from '../../domain/verdict.ts';
import type { Act } from '../../store/act.ts';
import type { Json } from '../../store/events.ts';
import { found, orRefuse } from '../../store/refused.ts';
import {
  findBatches,
  findOrder,
  findPatient,
  findPerson,
  findPieces,
  findSocket,
  findTool,
  ordersOfPatient,
  socketsOfOrders,
  type Named,
  type PatientSubject,
  type StaysOf,
} from '../../store/trace.ts';
import type { TraceScope } from '../../store/traceRows.ts';
import {
  batchScope,
  itemScope,
  personScope,
  socketScope,
  toolScope,
} from '../../store/traceScopes.ts';
import type { TraceSubject } from './schemas.ts';

export interface Asked {
  readonly by: TraceKey;
  readonly value: string;
}

/** The one key of a question, or 'trace-needs-one-key'. */
export function askedOf(
  query: Readonly<Partial<Record<TraceKey, string | undefined>>>,
): Verdict<Asked> {
  const given = TRACE_KEYS.flatMap((by) => {
    const value = query[by];
    return value === undefined ? [] : [{ by, value }];
  });
  const [asked] = given;
  if (asked === undefined || given.length > 1) {
    const keys = given.map(({ by }) => by);
    return refused([reason('trace-needs-one-key', { keys: TRACE_KEYS, given: keys })]);
  }
  return granted(asked);
}

/** What was asked about, found. */
export interface Subject {
  /** The value as it was understood. */
  readonly value: string;
  readonly view: TraceSubject;
  readonly scope: TraceScope;
  /** Whose way through sockets belongs in the answer; null where nobody's does. */
  readonly stays: StaysOf | null;
  /** What the event of this question is about; ids, never names of patients. */
  readonly event: {
    readonly subjectKind: SubjectKind;
    readonly subjectId: string;
    readonly orderId?: string;
    readonly ids: readonly Json[];
  };
}

/**
 * Finds what a question is about.
 * @throws Refused 'not-found'; 'order-number-mistyped' or 'socket-number-mistyped' where the number cannot be
 */
export async function subjectOf(act: Act, { by, value }: Asked): Promise<Subject> {
  switch (by) {
    case 'patient':
      return patientSubject(act, value);
    case 'order':
      return orderSubject(act, value);
    case 'socket':
      return socketSubject(act, value);
    case 'serial':
    case 'lot':
      return piecesSubject(act, by, value);
    case 'batch':
      return batchSubject(act, value);
    case 'tool':
      return toolSubject(act, value);
    case 'person':
      return personSubject(act, value);
  }
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

/** An id where the value is one, else a name as `read` understands it. */
export function namedBy(value: string, read: (name: string) => string = (name) => name): Named {
  return UUID.test(value) ? { id: value.toLowerCase() } : { name: read(value) };
}

const seenBy = async (act: Act, { birthDate, ...patient }: PatientSubject): Promise<PatientSeen> =>
  patientSeenBy(await sightOf(act), { ...patient, birthDate: birthDate as Day | null });

async function patientById(act: Act, id: string): Promise<PatientSeen> {
  const patient = found(await findPatient(act, { id }), () =>
    reason('not-found', { what: 'patient', id }),
  );
  return seenBy(act, patient);
}

async function patientSubject(act: Act, value: string): Promise<Subject> {
  const patient = found(await findPatient(act, namedBy(value)), () =>
    reason('not-found', { what: 'patient', id: value }, '/patient'),
  );
  const orders = await ordersOfPatient(act, patient.id);
  const orderIds = orders.map(({ id }) => id);
  const socketIds = (await socketsOfOrders(act, orderIds)).map(({ id }) => id);
  return {
    value: patient.chartNumber,
    view: { kind: 'patient', patient: await seenBy(act, patient), orders },
    scope: await socketScope(act, { socketIds, orderIds, patientId: patient.id }),
    stays: { socketIds },
    event: { subjectKind: 'patient', subjectId: patient.id, ids: [patient.id] },
  };
}

async function orderSubject(act: Act, value: string): Promise<Subject> {
  const named = namedBy(value, (number) => orRefuse(parseOrderNumber(number)));
  const order = found(await findOrder(act, named), () =>
    reason('not-found', { what: 'order', id: value }, '/order'),
  );
  const sockets = await socketsOfOrders(act, [order.id]);
  const socketIds = sockets.map(({ id }) => id);
  return {
    value: order.number,
    view: { kind: 'order', order, patient: await patientById(act, order.patientId), sockets },
    scope: await socketScope(act, { socketIds, orderIds: [order.id] }),
    stays: { socketIds },
    event: { subjectKind: 'order', subjectId: order.id, orderId: order.id, ids: [order.id] },
  };
}

async function socketSubject(act: Act, value: string): Promise<Subject> {
  const named = namedBy(value, (number) => {
    const { orderNumber, kind, n } = orRefuse(parseSocketNumber(number));
    return makeSocketNumber(orderNumber, kind, n);
  });
  const socket = found(await findSocket(act, named), () =>
    reason('not-found', { what: 'socket', id: value }, '/socket'),
  );
  return {
    value: socket.number,
    view: { kind: 'socket', socket, patient: await patientById(act, socket.patientId) },
    scope: await socketScope(act, { socketIds: [socket.id], orderIds: [] }),
    stays: { socketIds: [socket.id] },
    event: {
      subjectKind: 'socket',
      subjectId: socket.id,
      orderId: socket.orderId,
      ids: [socket.id],
    },
  };
}

/** Pieces that one answer lists one by one, and ids that one event names; common practice, no source. */
const PIECES_LISTED = 100;
const IDS_NAMED = 20;

async function piecesSubject(act: Act, by: 'serial' | 'lot', value: string): Promise<Subject> {
  const pieces = await findPieces(act, by, value);
  const first = found(pieces[0], () =>
    reason('not-found', { what: `piece with ${by}`, id: value }, `/${by}`),
  );
  const itemIds = pieces.map(({ id }) => id);
  return {
    value,
    view: { kind: 'pieces', count: pieces.length, pieces: pieces.slice(0, PIECES_LISTED) },
    scope: await itemScope(act, itemIds),
    stays: { itemIds },
    event: { subjectKind: 'item', subjectId: first.id, ids: itemIds.slice(0, IDS_NAMED) },
  };
}

async function batchSubject(act: Act, value: string): Promise<Subject> {
  const batches = await findBatches(act, namedBy(value));
  const first = found(batches[0], () =>
    reason('not-found', { what: 'batch', id: value }, '/batch'),
  );
  const ids = batches.map(({ id }) => id);
  return {
    value: first.lot,
    view: { kind: 'batches', batches },
    scope: batchScope(act, ids),
    stays: null,
    event: { subjectKind: 'batch', subjectId: first.id, ids },
  };
}

async function toolSubject(act: Act, value: string): Promise<Subject> {
  const tool = found(await findTool(act, namedBy(value)), () =>
    reason('not-found', { what: 'shop tool', id: value }, '/tool'),
  );
  return {
    value: tool.name,
    view: { kind: 'tool', tool },
    scope: toolScope(tool.id),
    stays: { shopToolId: tool.id },
    event: { subjectKind: 'shop_tool', subjectId: tool.id, ids: [tool.id] },
  };
}

async function personSubject(act: Act, value: string): Promise<Subject> {
  orRefuse(mayTracePerson(value, act.by));
  const person = found(await findPerson(act, value), () =>
    reason('not-found', { what: 'person', id: value }, '/person'),
  );
  return {
    value: person.printedName,
    view: { kind: 'person', person },
    scope: personScope(person.id),
    stays: null,
    event: { subjectKind: 'person', subjectId: person.id, ids: [person.id] },
  };
}
