/** The calls of a recall: each is a record of its own, and none is ever changed. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { CALL_OUTCOMES, type CallOutcome } from '../domain/recall.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import { keptText, openText } from './saidWords.ts';

/** What is recalled: a lot of hardware, or a batch by its id. */
export type RecalledThing = { readonly lot: string } | { readonly batchId: string };

const CallRow = z.object({
  id: z.string(),
  socketId: z.string(),
  outcome: z.enum(CALL_OUTCOMES),
  note: z.string().nullable(),
  calledAt: z.date(),
  calledBy: z.string(),
});
export type CallRow = z.infer<typeof CallRow>;

const noteOf = (rowId: string) => ({ table: 'recall_call', column: 'note', rowId });

/** All calls of a recall, the newest first. */
export const callsOf = async (act: Act, of: RecalledThing): Promise<CallRow[]> =>
  parseRows(
    CallRow,
    await act.tx.$queryRaw(Prisma.sql`
      select c.id, c.socket_id as "socketId", c.outcome, c.note, c.called_at as "calledAt", p.printed_name as "calledBy"
      from recall_call c join person p on p.clinic_id = c.clinic_id and p.id = c.called_by_id
      where c.clinic_id = ${act.clinicId}::uuid and ${
        'lot' in of ? Prisma.sql`c.lot = ${of.lot}` : Prisma.sql`c.batch_id = ${of.batchId}::uuid`
      }
      order by c.called_at desc, c.id desc`),
  ).map((row) => ({ ...row, note: openText(act, noteOf(row.id), row.note) }));

export async function writeCall(
  act: Act,
  of: RecalledThing,
  call: { readonly socketId: string; readonly outcome: CallOutcome; readonly note: string | null },
): Promise<string> {
  const id = uuidv7();
  await act.tx.recallCall.create({
    data: {
      clinicId: act.clinicId,
      id,
      ...of,
      ...call,
      note: keptText(act, noteOf(id), call.note),
      calledAt: act.at,
      calledById: act.by.personId,
    },
  });
  return id;
}
