import type { ORDER_REASONS } from '../../../../domain/reasons/orders.ts';
import type { ReasonWords } from '../../reasons.ts';
import { tag, wort } from '../wort.ts';

/** Refusals about opening and changing orders, in German. */
export const ORDERS: ReasonWords<typeof ORDER_REASONS> = {
  'order-already-open': {
    title: 'Für diese Seite gibt es einen offenen Auftrag',
    words: (f) =>
      `${f.orders.join(', ')} ist für dieselbe Person offen, ${wort(f.side)} ${wort(f.level)}.`,
    wayOut: () => 'Arbeiten Sie mit diesem weiter; ist ein zweiter gewollt, bestätigen Sie das.',
  },
  'promised-day-past': {
    title: 'Der zugesagte Tag ist vorbei',
    words: (f) => `Der ${tag(f.promisedOn)} liegt vor dem ${tag(f.today)}.`,
    wayOut: () => 'Sagen Sie heute oder einen späteren Tag zu, oder lassen Sie ihn offen.',
  },
  'not-a-prosthetist': {
    title: 'Keine OT-Meisterin, kein OT-Meister dieser Werkstatt',
    words: (f) => `${f.personId} ist hier nicht als OT-Meister/in tätig.`,
    wayOut: () => 'Wählen Sie jemanden aus der Liste, oder niemanden.',
  },
  'order-already-on-hold': {
    title: 'Der Auftrag ist schon zurückgestellt',
    words: (f) => `Auftrag ${f.order} ist zurückgestellt: ${wort(f.holdReason)}.`,
    wayOut: () => 'Nehmen Sie ihn zuerst wieder auf, wenn der Grund ein anderer ist.',
  },
  'order-is-closed': {
    title: 'Der Auftrag ist abgeschlossen',
    words: (f) => `Auftrag ${f.order}: ${wort(f.stage)}.`,
    wayOut: () => 'Eröffnen Sie einen Service oder einen neuen Auftrag für das, was zu tun ist.',
  },
  'limb-length-implausible': {
    title: 'Eine Länge, die kein Stumpf hat',
    words: (f, m) =>
      `${m.length.of(f.limbLengthMm)} ${m.length.unit}; ein Stumpf (${wort(f.level)}) hat ${m.length.of(f.shortest)} bis ${m.length.of(f.longest)} ${m.length.unit}.`,
    wayOut: (_f, m) => `Messen Sie vom distalen Ende aus, in ${m.length.unit}.`,
  },
};
