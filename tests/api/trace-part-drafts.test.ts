/** Where a part of the catalogue comes from, as the trace of its pieces tells it: the draft of its label (C9). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { gs1CheckDigit } from '../../src/domain/gs1.ts';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { id, ok, stockedShop, type Shop } from '../support/shop.ts';
import { only, traced, whats } from '../support/traced.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const nameOf = (role: Role): string => clinic.people[role].caller.printedName;

describe('where does the part in the catalogue come from', () => {
  /** GS1's own prefix for examples is 952. */
  const gtin = (n: number): string => {
    const body = `0952${String(n).padStart(9, '0')}`;
    return body + String(gs1CheckDigit(body));
  };
  const scan = (device: string, elements: string) =>
    ok<{ draft: { id: string } | null }>(
      clinic.as('technician').post('/api/v1/items/scan', {
        scans: [`(01)${device}${elements}`],
        toPlaceId: shop.bin,
      }),
    );
  const pin = (name: string) => ({
    kind: 'pin',
    name,
    catalogueNumber: `INV-${name}`,
    pinFit: 'ratchet pin 10 mm',
    ratedBodyMassKg: 100,
  });
  const drafts = async (query: string) => only(await traced(clinic, query), 'part_draft');

  test('a piece by its serial tells who scanned the label and who made the part of it', async () => {
    clinic.clock.pass(60);
    const device = gtin(1);
    const { draft } = await scan(device, '(10)A7(21)DRAFT-1');
    clinic.clock.pass(1);
    await ok(
      clinic
        .as('administrator')
        .post(`/api/v1/part-drafts/${draft?.id ?? ''}/part`, pin('Pin of a label')),
    );
    await scan(device, '(10)A7(21)DRAFT-1');
    const rows = await drafts('serial=DRAFT-1');
    expect(rows).toMatchObject([
      {
        recordId: draft?.id,
        what: `label of a device not in the catalogue scanned: GS1 ${device}, serial DRAFT-1, lot A7`,
        who: nameOf('technician'),
        chartNumber: null,
        details: { step: 'scanned', part: null },
      },
      {
        recordId: draft?.id,
        what: `draft of GS1 ${device} made a part: Pin of a label`,
        who: nameOf('administrator'),
        details: { step: 'resolved', part: 'Pin of a label', note: null },
      },
    ]);
    expect(await drafts('lot=A7')).toEqual(rows);
    const [ofTechnician, ofAdministrator] = await Promise.all(
      (['technician', 'administrator'] as const).map((role) =>
        drafts(`person=${clinic.people[role].id}`),
      ),
    );
    expect([ofTechnician, ofAdministrator]).toEqual([[rows[0]], [rows[1]]]);
  });

  test('a label that was set aside first is told of the part that was entered later', async () => {
    const device = gtin(2);
    const { draft } = await scan(device, '(21)DRAFT-2');
    await ok(
      clinic
        .as('administrator')
        .post(`/api/v1/part-drafts/${draft?.id ?? ''}/set-aside`, { note: 'A sample.' }),
    );
    await id(
      clinic.as('administrator').post('/api/v1/parts', {
        ...pin('Pin entered by hand'),
        udiIssuer: 'GS1',
        udiDeviceIdentifier: device,
      }),
    );
    await scan(device, '(21)DRAFT-3');
    expect(whats(await drafts('serial=DRAFT-3')).at(-1)).toBe(
      `draft of GS1 ${device} set aside: A sample.`,
    );
  });

  test('a part that was never scanned has no draft', async () => {
    const [itemId = ''] = await shop.receive('lock', 1);
    const [item] = await clinic.store.raw<{ serial: string }>(
      'select serial from item where id = $1',
      [itemId],
    );
    expect(await drafts(`serial=${item?.serial ?? ''}`)).toEqual([]);
  });
});
