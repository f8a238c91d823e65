import { z } from 'zod';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';

const CameFrom = z.object({ itemId: z.string(), place: z.string().nullable() });

/** For each item now in a socket, the place its last move took it from (R9). */
export async function cameFrom(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<Map<string, string | null>> {
  const rows = parseRows(
    CameFrom,
    await tx.$queryRaw`
      select c.item_id as "itemId", f.name as place
      from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id and c.item_id is not null
      join move m on m.clinic_id = c.clinic_id and m.id = c.last_move_id
      left join place f on f.clinic_id = m.clinic_id and f.id = m.from_place_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid`,
  );
  return new Map(rows.map((row) => [row.itemId, row.place]));
}

const MovedOn = z.object({ itemId: z.string(), label: z.string(), nowAt: z.string() });

/** Hardware that once was in a socket and is elsewhere now, with where (R9). */
export const movedOn = async (
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<z.infer<typeof MovedOn>[]> =>
  parseRows(
    MovedOn,
    await tx.$queryRaw`
      select distinct i.id as "itemId", pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) as label,
        n.name as "nowAt"
      from place p
      join move m on m.clinic_id = p.clinic_id and m.from_place_id = p.id and m.item_id is not null
      join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      join custody c on c.clinic_id = i.clinic_id and c.thing_id = i.id
      join place n on n.clinic_id = c.clinic_id and n.id = c.place_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid
        and n.socket_id is distinct from ${socketId}::uuid
      order by label`,
  );
