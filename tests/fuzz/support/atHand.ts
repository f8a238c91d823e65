/** Things of the job in just the state that an act needs, made through the API. All invented. */
import { gs1CheckDigit } from '../../../src/domain/gs1.ts';
import * as job from '../../support/job.ts';

let made = 0;

/** A label of GS1's own range for examples. */
export function labelOf(serial: string): string {
  made += 1;
  const body = `0952${String(made + 500_000).padStart(9, '0')}`;
  return `(01)${body}${String(gs1CheckDigit(body))}(21)${serial}`;
}

export const fabricToAdd = () => ({
  name: `Glass cloth ${String((made += 1))}`,
  material: 'glass_cloth',
  form: 'flat',
  arealDensityGm2: 200,
  widthMm: 1000,
  fibreDensityGcm3: 2.56,
  stretchPercent: 0,
});

/** A label that the catalogue does not know, and the part that it would become. */
export async function scannedPin(shop: job.Shop) {
  const { draft } = await job.ok<{ draft: { id: string } | null }>(
    shop.clinic
      .as('technician')
      .post('/api/v1/items/scan', { scans: [labelOf('S1')], toPlaceId: shop.bin }),
  );
  const part = {
    kind: 'pin',
    name: 'Pin of a label',
    catalogueNumber: `PD-${String((made += 1))}`,
    pinFit: 'ratchet pin 10 mm',
    ratedBodyMassKg: 100,
  };
  return { draftId: draft?.id ?? '', part };
}

export const batchToAdd = (lot: string) => ({
  kind: 'parting_agent',
  name: 'Invented parting agent',
  lot,
  receivedOn: '2026-01-05',
  quantity: 900,
  unit: 'mL',
});

export const unusedBatch = (shop: job.Shop): Promise<string> =>
  job.id(
    shop.clinic.as('technician').post('/api/v1/batches', batchToAdd(`PA-${String((made += 1))}`)),
  );

/** Measures of a limb that has lost 7.8 % since its cast. */
export async function shrunken(shop: job.Shop) {
  const { orderId } = await job.openedOrder(shop);
  await job.acceptedCast(shop, orderId);
  const { sinceCast } = await job.ok<{
    sinceCast: { first: { id: string }; second: { id: string } };
  }>(
    shop.clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/measure-sets`, {
      occasion: 'fitting',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: job.MEASURES.map((each) => ({
        ...each,
        circumferenceMm: each.circumferenceMm * 0.96,
      })),
    }),
  );
  return sinceCast;
}

export const castToTake = () => ({
  method: 'plaster',
  takenOn: '2026-03-02',
  limbLengthMm: 165,
  measures: job.MEASURES,
});
