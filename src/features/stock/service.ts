import { dayAt, daysBetween } from '../../domain/days.ts';
import { paceDaysOf, shelfOutlook } from '../../domain/stockUse.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { orRefuse } from '../../store/refused.ts';
import { clinicBegan, loadShelves } from '../../store/stock.ts';
import type { StockOutlook } from './schemas.ts';

const MS_PER_DAY = 86_400_000;

/** How long every material lasts at the pace of the clinic's window, and what is to be ordered. */
export async function readStockOutlook(act: Act): Promise<StockOutlook> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const { reorderWindowDays: windowDays, reorderLeadDays: leadDays } = clinic;
  const coverDays = clinic.reorderCoverDays;
  const today = dayAt(act.at, clinic.timeZone);
  const began = dayAt(await clinicBegan(act), clinic.timeZone);
  const paceDays = paceDaysOf(windowDays, daysBetween(began, today) + 1);
  const shelves = await loadShelves(act, new Date(act.at.getTime() - paceDays * MS_PER_DAY));
  return {
    today,
    windowDays,
    paceDays,
    leadDays,
    coverDays,
    asOf: act.at,
    materials: shelves.map((shelf) => {
      const { notCountedOn, ...outlook } = orRefuse(
        shelfOutlook({ ...shelf, paceDays, leadDays, coverDays, today }),
      );
      return {
        ...shelf,
        left: shelf.batches.reduce((sum, { left }) => sum + left, 0),
        ...outlook,
        expiresUnused: notCountedOn,
      };
    }),
  };
}
