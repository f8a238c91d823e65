import type { LIMB_REASONS } from '../../../../domain/reasons/limb.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, viele, wort, zeit } from '../wort.ts';

const gewandelt = (differenceMl: number): string => (differenceMl < 0 ? 'verloren' : 'gewonnen');

/** Refusals and questions about the shape and volume of a residual limb, in German. */
export const LIMB: ReasonWords<typeof LIMB_REASONS> = {
  'measures-too-few': {
    title: 'Zu wenige Maße für ein Volumen',
    words: (f) => `Die Tabelle hat ${f.count} Höhen; wenigstens ${f.least} braucht es.`,
    wayOut: () => 'Messen Sie den Umfang auf mehr Höhen.',
  },
  'cap-depth-disagrees': {
    title: 'Tiefe der Kuppe und unterste Höhe widersprechen sich',
    words: (f, m) =>
      `Der unterste Umfang liegt ${m.length.of(f.lowestMm, 1)} ${m.length.unit} über dem distalen Ende, und die Kuppe darunter ist mit ${m.length.of(f.capDepthMm, 1)} ${m.length.unit} Tiefe angegeben; beide dürfen um ${m.length.of(f.withinMm)} ${m.length.unit} abweichen.`,
    wayOut: () =>
      'Messen Sie beide noch einmal vom distalen Ende aus. Eine Kuppe unter einer untersten Höhe von 0 wird allein angegeben; sonst lassen Sie sie weg: sie ist die unterste Höhe.',
  },
  'measures-do-not-overlap': {
    title: 'Die beiden Messungen haben zu wenig gemeinsam',
    words: (f, m) =>
      `Die eine Messung reicht von ${m.length.of(f.firstFromMm, 1)} bis ${m.length.of(f.firstToMm, 1)} ${m.length.unit} über dem distalen Ende, die andere von ${m.length.of(f.secondFromMm, 1)} bis ${m.length.of(f.secondToMm, 1)} ${m.length.unit}; wenigstens ${m.length.of(f.leastCommonMm)} ${m.length.unit} müssen in beiden liegen.`,
    wayOut: () =>
      'Messen Sie auf den Höhen der ersten Messung noch einmal, und vergleichen Sie dann.',
  },
  'limb-volume-changed': {
    title: 'Der Stumpf hat sich stärker verändert, als die Werkstatt durchgehen lässt',
    words: (f, m) =>
      `Zwischen ${m.length.of(f.fromMm, 1)} und ${m.length.of(f.toMm, 1)} ${m.length.unit} hat der Stumpf ${m.figure(Math.abs(f.differenceMl), 0)} ml ${gewandelt(f.differenceMl)} (${m.figure(Math.abs(f.percent), 1)} %), etwa ${viele(Math.abs(f.ply), 'Strumpflage', 'Strumpflagen')} ${f.ply < 0 ? 'weniger' : 'mehr'}; die Werkstatt fragt ab ${m.figure(f.limitPercent)} %.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister entscheidet und zeichnet es auf: neuer Abdruck, Stumpfstrümpfe, oder so belassen.',
  },
  'measure-set-with-itself': {
    title: 'Zweimal dieselbe Messung',
    words: (f) => `Beide sind die Messung vom ${tag(f.takenOn)}.`,
    wayOut: () => 'Nennen Sie zwei Messungen des Stumpfs.',
  },
  'measure-sets-of-two-limbs': {
    title: 'Maße zweier Stümpfe werden nicht verglichen',
    words: (f) => `Die eine Messung ist von ${satz(f.first)}, die andere von ${satz(f.second)}.`,
    wayOut: () =>
      'Nennen Sie zwei Messungen eines Stumpfs: dieselbe Person, dieselbe Seite, dieselbe Höhe.',
  },
  'socket-of-another-order': {
    title: 'Der Schaft zur Probe gehört zu einem anderen Auftrag',
    words: (f) => `${f.socket} ist kein Schaft von Auftrag ${f.order}.`,
    wayOut: () => 'Nennen Sie den Schaft dieses Auftrags, der zur Probe war, oder keinen.',
  },
  'no-decision-asked': {
    title: 'Nichts zu entscheiden',
    words: (f, m) =>
      `Der Stumpf hat sich um ${m.figure(f.percent, 1)} % verändert; die Werkstatt fragt ab ${m.figure(f.limitPercent)} %.`,
    wayOut: () => 'Fahren Sie fort; eine schlechte Passform wird als Passform beurteilt.',
  },
  'volume-already-decided': {
    title: 'Es ist schon entschieden',
    words: (f) =>
      `${f.by} hat am ${zeit(f.at)} über diese beiden Messungen entschieden: ${wort(f.decision)}.`,
    wayOut: () =>
      'Hat sich der Stumpf seither verändert, messen Sie noch einmal und entscheiden Sie über die neue Messung.',
  },
  'limb-change-undecided': {
    title: 'Der Stumpf hat sich seit dem Abdruck verändert, und niemand hat entschieden',
    words: (f, m) =>
      `${f.socket} kommt von Abdruck ${f.cast}; nach den Maßen vom ${tag(f.takenOn)} hat der Stumpf seither ${m.figure(Math.abs(f.differenceMl), 0)} ml ${gewandelt(f.differenceMl)} (${m.figure(Math.abs(f.percent), 1)} %), und die Werkstatt fragt ab ${m.figure(f.limitPercent)} %.`,
    wayOut: (f) =>
      f.laterCast === null
        ? 'Die OT-Meisterin oder der OT-Meister entscheidet über die beiden Messungen: neuer Abdruck, Stumpfstrümpfe, oder so belassen.'
        : `Abdruck ${f.laterCast} ist angenommen: fertigen Sie den Schaft danach.`,
  },
  'not-the-newest-measures': {
    title: 'Das sind nicht die neuesten Maße',
    words: (f) =>
      `Der genannte Entscheid betrifft die Messungen vom ${tag(f.first)} und vom ${tag(f.second)}; der neueste angenommene Abdruck des Auftrags: ${f.cast === null ? 'keiner' : tag(f.cast)}, die neuesten Maße des Stumpfs: ${f.newest === null ? 'keine' : tag(f.newest)}.`,
    wayOut: () =>
      'Entscheiden Sie über die Messung des neuesten angenommenen Abdrucks und die neueste Messung des Stumpfs.',
  },
  'new-cast-decided': {
    title: 'Ein neuer Abdruck wurde entschieden',
    words: (f) =>
      `Nach den Maßen vom ${tag(f.takenOn)} wurde ein neuer Abdruck entschieden; ${f.socket === null ? `nach Abdruck ${f.cast} wird nichts mehr gefertigt` : `${f.socket} kommt noch von Abdruck ${f.cast}`}.`,
    wayOut: () => 'Nehmen Sie den neuen Abdruck und fertigen Sie den Schaft danach.',
  },
};
