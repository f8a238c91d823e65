/** The export of the record, step by step as the doer of long work does it, without waiting in its queue. */
import { recordExport } from '../../src/features/longWork/recordExport.ts';
import { perform } from '../../src/store/act.ts';
import type { Json } from '../../src/store/events.ts';
import type { TestClinic } from './clinic.ts';

/** Its lines, as an auditor gets them; of one order where that is given. */
export async function exportedRecord(
  { store, people, clock }: TestClinic,
  orderId: string | null = null,
): Promise<string[]> {
  let text = '';
  let so: { position: Json; done: number; total: number | null } = {
    position: null,
    done: 0,
    total: null,
  };
  for (;;) {
    const step = await perform(store, people.auditor.caller, clock.now(), (act) =>
      recordExport.step(act, { orderId, orderNumber: null }, so),
    );
    text += step.piece?.body ?? '';
    if (step.summary !== undefined) return text.trimEnd().split('\n');
    so = step;
  }
}
