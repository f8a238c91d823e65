/**
 * What an event tells of a change: each field with the value before and after, and the
 * rest as facts. Events are written by many hands over many years, so every shape that
 * was ever written is read here, and nowhere else.
 */
import type { JsonValue } from './canonical.ts';
import type { EventKind } from './eventKinds.ts';

type Data = Readonly<Record<string, JsonValue>>;

/** One field that changed. `before` is null where there was no value. */
export interface FieldChange {
  readonly field: string;
  readonly before: JsonValue;
  readonly after: JsonValue;
}

/** Something else that the event says. */
export interface EventFact {
  readonly field: string;
  readonly value: JsonValue;
}

export interface ToldEvent {
  readonly changes: readonly FieldChange[];
  readonly facts: readonly EventFact[];
}

const isObject = (value: JsonValue | undefined): value is Data =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Which field a bare `before` and `after` are of. */
const FIELD_OF: Readonly<Partial<Record<EventKind, string>>> = {
  'order.put_on_hold': 'holdReason',
  'order.resumed': 'holdReason',
  'order.stage_changed': 'stage',
  'appointment.moved': 'startsAt',
  'shop_tool.taken_out_of_service': 'outOfService',
  'shop_tool.put_back_in_service': 'outOfService',
  'batch.opened': 'openedOn',
  'batch.quarantined': 'quarantined',
  'finding.closed': 'disposition',
};

/** What a record became where its event names only what it was before. */
const AFTER_OF: Readonly<Partial<Record<EventKind, string>>> = {
  'socket.accepted': 'accepted',
  'socket.rejected': 'rejected',
  'socket.scrapped': 'scrapped',
  'socket.delivered': 'delivered',
  'socket.retired': 'retired',
  'operation.done': 'done',
  'operation.stopped': 'stopped',
  'operation.left_out': 'left_out',
  'operation.to_do_again': 'waiting',
};

/** Reads an event's data. @param kind any text: a kind that is not known is read by its shape */
export function tellEvent(kind: string, data: Data): ToldEvent {
  const known = kind as EventKind;
  const changes: FieldChange[] = [];
  const facts: EventFact[] = [];
  const told = new Set(['before', 'after']);
  const { before, after } = data;
  if (known === 'custody.moved') {
    told.add('from').add('to');
    changes.push({ field: 'place', before: data['from'] ?? null, after: data['to'] ?? null });
  }
  if (isObject(before) && isObject(after)) {
    for (const field of new Set([...Object.keys(before), ...Object.keys(after)])) {
      changes.push({ field, before: before[field] ?? null, after: after[field] ?? null });
    }
  } else if (isObject(before)) {
    // The values after stand beside it, under the same names.
    for (const [field, was] of Object.entries(before)) {
      told.add(field);
      changes.push({ field, before: was, after: data[field] ?? null });
    }
  } else if (before !== undefined && !(before === null && after === undefined)) {
    const field = FIELD_OF[known] ?? 'state';
    changes.push({ field, before, after: after ?? AFTER_OF[known] ?? null });
  }
  for (const [field, value] of Object.entries(data)) {
    if (told.has(field) || value === null) continue;
    if (isObject(value) && Object.keys(value).sort().join() === 'after,before') {
      changes.push({ field, before: value['before'] ?? null, after: value['after'] ?? null });
    } else facts.push({ field, value });
  }
  return { changes, facts };
}
