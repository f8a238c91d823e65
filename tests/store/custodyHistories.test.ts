/** R1, R2 as histories: whatever is moved from wherever to wherever, a piece is in one place, and the ledger says how it came there. */
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { asApp, insertInto } from '../support/plainSql.ts';
import { ClinicRows, type Place, type Thing } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;

beforeAll(async () => {
  db = await testDatabase();
  clinic = await ClinicRows.found(db.store, 'KL');
});

afterAll(() => db.close());

const THINGS = ['lock', 'another lock', 'screws'] as const;
const PLACES = [
  'drawer',
  'bench',
  'quarantine',
  'scrap',
  'lock of C1',
  'screws of C1',
  'lock of C2',
  'screws of C2',
] as const;
type ThingName = (typeof THINGS)[number];
type PlaceName = (typeof PLACES)[number];

interface Attempt {
  readonly thing: ThingName;
  /** Where the mover believes it to be; null: where it really is. */
  readonly from: PlaceName | null;
  readonly to: PlaceName;
}

const anyAttempt: fc.Arbitrary<Attempt> = fc.record({
  thing: fc.constantFrom(...THINGS),
  from: fc.option(fc.constantFrom(...PLACES), { freq: 2 }),
  // Scrap ends a history soon enough.
  to: fc.oneof(
    { weight: 20, arbitrary: fc.constantFrom(...PLACES.filter((place) => place !== 'scrap')) },
    { weight: 1, arbitrary: fc.constant<PlaceName>('scrap') },
  ),
});

/** The bench's own book of where things are, with the rules as a technician would say them. */
class Book {
  readonly at: Record<ThingName, PlaceName> = {
    lock: 'drawer',
    'another lock': 'drawer',
    screws: 'drawer',
  };
  readonly history: Record<ThingName, PlaceName[]> = { lock: [], 'another lock': [], screws: [] };

  /** The SQLSTATE that a move meets; null where it goes through, and then it has. */
  move({ thing, from, to }: Attempt): string | null {
    const here = this.at[thing];
    const refusal = this.#against(thing, from ?? here, to);
    if (refusal === null) {
      this.at[thing] = to;
      this.history[thing].push(to);
    }
    return refusal;
  }

  #against(thing: ThingName, from: PlaceName, to: PlaceName): string | null {
    if (from !== this.at[thing]) return 'R0101';
    if (from === 'scrap') return 'R0204';
    if (from === 'quarantine' && to !== 'drawer' && to !== 'scrap') return 'R0205';
    if (to.includes(' of ')) {
      if (to.startsWith('screws') !== (thing === 'screws')) return 'R0301';
      if (Object.values(this.at).includes(to)) return 'R0102';
      const sockets = this.history[thing].filter((place) => place.includes(' of '));
      if (thing === 'screws' && sockets.some((place) => place !== to)) return 'R0202';
    }
    return from === to ? '23514' : null;
  }
}

async function bench(): Promise<{
  things: Record<ThingName, Thing>;
  places: Record<PlaceName, Place>;
}> {
  const [c1, c2] = [await clinic.socket('check'), await clinic.socket('check')];
  const things = {
    lock: await clinic.piece('lock'),
    'another lock': await clinic.piece('lock'),
    screws: await clinic.piece('screw_set', { single_use: true }),
  };
  const places = {
    drawer: await clinic.bin(),
    bench: await clinic.place('bench'),
    quarantine: await clinic.place('quarantine'),
    scrap: await clinic.place('scrap'),
    'lock of C1': await clinic.position(c1, 'lock'),
    'screws of C1': await clinic.position(c1, 'distal_screws'),
    'lock of C2': await clinic.position(c2, 'lock'),
    'screws of C2': await clinic.position(c2, 'distal_screws'),
  };
  for (const thing of Object.values(things)) await clinic.move(thing.as, thing.at, places.drawer);
  return { things, places };
}

describe('histories of the ledger', () => {
  test('no order of moves puts one piece in two places, or two pieces in one position', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(anyAttempt, { minLength: 5, maxLength: 40 }), async (attempts) => {
        const { things, places } = await bench();
        const book = new Book();
        for (const attempt of attempts) {
          const from = places[attempt.from ?? book.at[attempt.thing]];
          const refusal = await asApp(db.store, clinic.clinicId, (app) =>
            insertInto(
              app,
              'move',
              clinic.moveOf(things[attempt.thing].as, from, places[attempt.to]),
            ),
          ).then(
            () => null,
            (failure: unknown) => (failure as { code?: string }).code,
          );
          expect(refusal, JSON.stringify(attempt)).toBe(book.move(attempt));
        }
        for (const name of THINGS) {
          const { id } = things[name];
          const custody = await db.store.raw<{ place: string; position: string | null }>(
            'select place_id as place, exclusive_place_id as position from custody where thing_id = $1',
            [id],
          );
          const here = places[book.at[name]].id;
          expect(custody).toEqual([
            { place: here, position: book.at[name].includes(' of ') ? here : null },
          ]);

          const ledger = await db.store.raw<{ seq: number; from: string | null; to: string }>(
            'select seq, from_place_id as "from", to_place_id as "to" from move where item_id = $1 order by seq',
            [id],
          );
          expect(ledger.map(({ seq }) => seq)).toEqual(ledger.map((_, at) => at + 1));
          expect(ledger.slice(2).map(({ to }) => to)).toEqual(
            book.history[name].map((place) => places[place].id),
          );
          ledger.forEach(({ from }, at) => expect(from).toBe(ledger[at - 1]?.to ?? null));
        }
      }),
      { numRuns: 12 },
    );
  });
});
