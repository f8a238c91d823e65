/**
 * A clinic's rows, the least of each that is valid, written by plain SQL as the database's
 * owner: for tests of what the database itself holds to. All names are invented.
 */
import { createHash, randomUUID } from 'node:crypto';
import { foundClinic } from '../../src/store/clinics.ts';
import type { Store } from '../../src/store/open.ts';
import type { PartKind, Position, ShopToolKind, SocketKind } from '../../src/domain/words.ts';
import { insertInto, type Values } from './plainSql.ts';

export const NOW = '2026-03-02T09:00:00.000Z';
const TODAY = '2026-03-02';
const SHA = 'a'.repeat(64);

export interface Row {
  readonly id: string;
  readonly [column: string]: unknown;
}
export interface Place extends Row {
  readonly name: string;
}
export interface SocketRow extends Row {
  readonly number: string;
  readonly order_id: string;
}
/** An item or a shop tool, and the place that it was received into. */
export interface Thing extends Row {
  readonly as: { readonly item_id: string } | { readonly shop_tool_id: string };
  readonly at: Place;
  readonly label: string;
}

/** Tables whose key is not an id of their own. */
const WITHOUT_ID = [
  'number_counter',
  'measure',
  'route_operation',
  'torque_reading',
  'idempotency_key',
  'long_work_piece',
  'signing_key',
  'signed_head',
  'merkle_node',
];

export class ClinicRows {
  readonly store: Store;
  readonly clinicId: string;
  readonly technicianId: string;
  readonly prosthetistId: string;
  #count = 0;

  private constructor(store: Store, clinicId: string, personIds: readonly string[]) {
    const [technicianId, prosthetistId] = personIds;
    if (technicianId === undefined || prosthetistId === undefined) throw new Error('two people');
    this.store = store;
    this.clinicId = clinicId;
    this.technicianId = technicianId;
    this.prosthetistId = prosthetistId;
  }

  /** Founds a clinic with a technician and a prosthetist. */
  static async found(store: Store, numberPrefix: string): Promise<ClinicRows> {
    const person = (role: 'technician' | 'prosthetist', printedName: string) => ({
      email: `${role}@${numberPrefix.toLowerCase()}.example`,
      printedName: `${printedName} of ${numberPrefix}`,
      passwordHash: 'not a hash: nobody signs in here',
      roles: [role],
    });
    const { clinicId, personIds } = await foundClinic(
      store,
      { name: `Clinic ${numberPrefix}`, numberPrefix, timeZone: 'Europe/Vienna', paper: 'A4' },
      [person('technician', 'Tamás Bench'), person('prosthetist', 'Paula Fitting')],
      new Date(NOW),
    );
    return new ClinicRows(store, clinicId, personIds);
  }

  /** The clinic and, where the table has one, a fresh id, before the values. */
  withKeys(table: string, values: Values): Values {
    const id = WITHOUT_ID.includes(table) ? {} : { id: randomUUID() };
    return { clinic_id: this.clinicId, ...id, ...values };
  }

  insert<R extends Row = Row>(table: string, values: Values): Promise<R> {
    return insertInto<R>({ query: this.store.raw }, table, this.withKeys(table, values));
  }

  async place(kind: 'receiving' | 'bench' | 'quarantine' | 'scrap'): Promise<Place> {
    const [row] = await this.store.raw<Place>(
      'select * from place where clinic_id = $1 and kind = $2',
      [this.clinicId, kind],
    );
    if (row === undefined) throw new Error(`no ${kind}`);
    return row;
  }

  bin(): Promise<Place> {
    return this.insert<Place>('place', { kind: 'bin', name: `Drawer ${this.#next()}` });
  }

  position(socket: SocketRow, position: Position): Promise<Place> {
    return this.insert<Place>('place', {
      kind: 'socket_position',
      name: `${socket.number} ${position}`,
      socket_id: socket.id,
      position,
    });
  }

  patient(over: Values = {}): Promise<Row> {
    const n = this.#next();
    return this.insert('patient', {
      chart_number: `K-${n}`,
      given_name: 'Ilka',
      family_name: `Invented ${n}`,
      name_key: `invented ${n} ilka`,
      birth_date: '1970-01-01',
      created_at: NOW,
      created_by_id: this.technicianId,
      ...over,
    });
  }

  async order(over: Values = {}): Promise<Row> {
    return this.insert('fabrication_order', {
      number: `order ${this.#next()}`,
      patient_id: over['patient_id'] ?? (await this.patient()).id,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functional_level: 'K3',
      stage: 'lamination',
      opened_at: NOW,
      opened_by_id: this.technicianId,
      ...over,
    });
  }

  cast(orderId: string, over: Values = {}): Promise<Row> {
    return this.insert('limb_cast', {
      order_id: orderId,
      number: this.#next(),
      method: 'plaster',
      taken_on: TODAY,
      taken_by_id: this.prosthetistId,
      state: 'taken',
      recorded_at: NOW,
      ...over,
    });
  }

  /** A socket in work on an order of its own. */
  async socket(kind: SocketKind, over: Values = {}): Promise<SocketRow> {
    const order_id =
      typeof over['order_id'] === 'string' ? over['order_id'] : (await this.order()).id;
    const [route] = await this.store.raw<Row>(
      `select id from route where clinic_id = $1 and socket_kind = $2 and suspension = 'pin_lock'`,
      [this.clinicId, kind],
    );
    const running = this.#next();
    return this.insert<SocketRow>('socket', {
      order_id,
      kind,
      running,
      number: `${this.clinicId.slice(-4)}/${kind === 'check' ? 'C' : 'D'}${running}`,
      state: 'in_work',
      cast_id: (await this.cast(order_id)).id,
      route_id: route?.id,
      started_at: NOW,
      started_by_id: this.technicianId,
      ...over,
    });
  }

  /** Cured, its chamber inspected: the lock may go in. */
  definitiveAwaitingLock(over: Values = {}): Promise<SocketRow> {
    return this.socket('definitive', { cured_at: NOW, chamber_inspected_at: NOW, ...over });
  }

  part(kind: PartKind, over: Values = {}): Promise<Row> {
    const n = this.#next();
    return this.insert('part', {
      kind,
      name: `Invented ${kind} ${n}`,
      catalogue_number: `INV-${n}`,
      rated_body_mass_kg: 125,
      single_use: false,
      created_at: NOW,
      ...over,
    });
  }

  /** A piece of a fresh part, received into a bin of its own. */
  async piece(kind: PartKind, part: Values = {}): Promise<Thing> {
    const of = await this.part(kind, part);
    const item = await this.insert('item', {
      part_id: of.id,
      serial: `S-${this.#next()}`,
      received_at: NOW,
      received_by_id: this.technicianId,
    });
    const at = await this.bin();
    const as = { item_id: item.id };
    await this.move(as, null, at, { reason: 'received' });
    return { ...item, as, at, label: `${String(of['name'])} serial ${String(item['serial'])}` };
  }

  /** A shop tool, received into a bin of its own. */
  async tool(kind: ShopToolKind): Promise<Thing> {
    const torque =
      kind === 'torque_tool'
        ? { tool_type: 'setting', tool_class: 'A', min_nm: 2, max_nm: 25 }
        : {};
    const name = `Invented ${kind} ${this.#next()}`;
    const tool = await this.insert('shop_tool', { kind, name, created_at: NOW, ...torque });
    const at = await this.bin();
    const as = { shop_tool_id: tool.id };
    await this.move(as, null, at, { reason: 'received' });
    return { ...tool, as, at, label: name };
  }

  /** The values of a move, for whoever may write it. */
  moveOf(thing: Thing['as'], from: Place | null, to: Place, over: Values = {}): Values {
    return this.withKeys('move', {
      ...thing,
      seq: 0,
      from_place_id: from?.id ?? null,
      to_place_id: to.id,
      reason: 'issued',
      moved_at: NOW,
      moved_by_id: this.technicianId,
      ...over,
    });
  }

  move(thing: Thing['as'], from: Place | null, to: Place, over: Values = {}): Promise<Row> {
    return insertInto<Row>({ query: this.store.raw }, 'move', this.moveOf(thing, from, to, over));
  }

  /** The values of a layup, drafted and not approved. */
  layupOf(socket: SocketRow, over: Values = {}): Values {
    return this.withKeys('layup', {
      socket_id: socket.id,
      running: this.#next(),
      lines: '[]',
      basis: '{}',
      figures: '{}',
      drafted_at: NOW,
      drafted_by_id: this.prosthetistId,
      ...over,
    });
  }

  layup(socket: SocketRow, over: Values = {}): Promise<Row> {
    return insertInto<Row>({ query: this.store.raw }, 'layup', this.layupOf(socket, over));
  }

  /** A resin product of the catalogue. */
  resinProduct(): Promise<Row> {
    return this.insert('resin_product', {
      name: `Invented resin ${this.#next()}`,
      chemistry: 'epoxy',
      parts_resin: 100,
      parts_hardener: 38,
      ratio_tolerance_percent: 3,
      density_gcm3: 1.15,
      pot_life_minutes: 30,
      pot_life_mass_g: 100,
      pot_life_temperature_c: 22,
      cup_limit_g: 400,
      cure_hours: 12,
      cure_temperature_c: 22,
      document: 'Invented sheet 3',
      revision: 'A',
      created_at: NOW,
    });
  }

  /** A definitive socket with its approved layup and a recipe worked out from it. */
  async recipe(over: Values = {}): Promise<{ socket: SocketRow; recipe: Row }> {
    const socket = await this.socket('definitive');
    const layup = await this.layup(socket);
    const approved = await this.signature('layup_approved', { subject_id: layup.id });
    await this.store.raw('update layup set approved_at = $1, signature_id = $2 where id = $3', [
      NOW,
      approved.id,
      layup.id,
    ]);
    const product = await this.resinProduct();
    const ofLayup = { layup_id: layup.id, product_id: product.id };
    return {
      socket,
      recipe: await this.insert('resin_recipe', this.recipeOf(socket, { ...ofLayup, ...over })),
    };
  }

  /** The values of a recipe; it still lacks layup and product. */
  recipeOf(socket: SocketRow, over: Values = {}): Values {
    return this.withKeys('resin_recipe', {
      socket_id: socket.id,
      running: this.#next(),
      product: '{}',
      asked: '{}',
      recipe: '{}',
      made_at: NOW,
      made_by_id: this.technicianId,
      ...over,
    });
  }

  /** The values of a first reading of cup 1, on ratio. */
  cupOf(socket: SocketRow, recipe: Row, over: Values = {}): Values {
    return this.withKeys('resin_weighing', {
      recipe_id: recipe.id,
      socket_id: socket.id,
      pour: 1,
      attempt: 1,
      resin_g: 200,
      hardener_g: 76,
      pigment_g: 2,
      off_ratio_percent: 0,
      stops: '[]',
      mixed_at: NOW,
      shop_temperature_c: 22,
      recorded_at: NOW,
      recorded_by_id: this.technicianId,
      ...over,
    });
  }

  /** An open sign-in of a person, by password. */
  session(personId: string, over: Values = {}): Promise<Row> {
    return this.insert('session', {
      person_id: personId,
      how: 'password',
      device: 'other',
      began_at: NOW,
      last_used_at: NOW,
      ...over,
    });
  }

  async signature(meaning: string, over: Values = {}): Promise<Row> {
    const signer = String(over['person_id'] ?? this.prosthetistId);
    return this.insert('signature', {
      session_id: (await this.session(signer)).id,
      person_id: this.prosthetistId,
      printed_name: 'Paula Fitting',
      meaning,
      signed_at: NOW,
      subject_kind: 'socket',
      subject_id: randomUUID(),
      content: '{}',
      content_sha256: SHA,
      ...over,
    });
  }

  /** A picture, as far as the database looks into it. */
  photo(of: Values, over: Values = {}): Promise<Row> {
    const bytes = over['bytes'] ?? Buffer.from('ffd8ffd9', 'hex');
    return this.insert('photo', {
      seq: 1,
      media_type: 'image/jpeg',
      width_px: 160,
      height_px: 120,
      bytes,
      sha256: createHash('sha256')
        .update(bytes as Buffer)
        .digest('hex'),
      taken_at: NOW,
      taken_by_id: this.technicianId,
      ...of,
      ...over,
    });
  }

  finding(socket: SocketRow, over: Values = {}): Promise<Row> {
    return this.insert('finding', {
      socket_id: socket.id,
      kind: 'void',
      note: 'at the brim',
      opened_at: NOW,
      opened_by_id: this.technicianId,
      ...over,
    });
  }

  /** A delivery of the socket with the signature that it needs. */
  async delivery(socket: SocketRow, signature: Values = {}): Promise<Row> {
    const id = randomUUID();
    const signed = await this.signature('delivery_released', { subject_id: id, ...signature });
    return this.insert('delivery', {
      id,
      order_id: socket.order_id,
      socket_id: socket.id,
      signature_id: signed.id,
      gate: '{}',
      received_by_name: 'Ilka Invented',
      received_by_relation: 'patient',
      delivered_at: NOW,
      released_by_id: this.prosthetistId,
    });
  }

  visit(socket: SocketRow, over: Values = {}): Promise<Row> {
    return this.insert('service_visit', {
      order_id: socket.order_id,
      socket_id: socket.id,
      kind: 'adjustment',
      note: 'it clicks',
      opened_at: NOW,
      opened_by_id: this.technicianId,
      ...over,
    });
  }

  /** A delivered socket with its lock in it, as a patient wears it. */
  async worn(): Promise<{ socket: SocketRow; lock: Thing; position: Place }> {
    const socket = await this.definitiveAwaitingLock();
    const position = await this.position(socket, 'lock');
    const lock = await this.piece('lock');
    await this.move(lock.as, lock.at, position);
    await this.delivery(socket);
    await this.store.raw(`update socket set state = 'delivered' where clinic_id = $1 and id = $2`, [
      this.clinicId,
      socket.id,
    ]);
    return { socket, lock, position };
  }

  event(over: Values = {}): Promise<Row> {
    return this.insert('event', this.eventOf(over));
  }

  /** The values of an event; its number and chain value are the database's to give. */
  eventOf(over: Values = {}): Values {
    return {
      ...this.withKeys('event', {}),
      seq: 0,
      at: NOW,
      person_id: this.technicianId,
      kind: 'thing.noted',
      subject_kind: 'thing',
      subject_id: randomUUID(),
      data: '{}',
      leaf_sha256: SHA,
      chain_sha256: '',
      ...over,
    };
  }

  #next(): number {
    this.#count += 1;
    return this.#count;
  }
}
