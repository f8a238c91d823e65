import type { Measures } from '../../../../domain/reasons/measures.ts';
import type { RESIN_REASONS } from '../../../../domain/reasons/resin.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { wort } from '../wort.ts';

const gramm = (value: number, m: Measures): string => `${m.figure(value, 2)} g`;

/** Refusals about resin: recipe, weighing and the clock, in German. */
export const RESIN: ReasonWords<typeof RESIN_REASONS> = {
  'scale-too-coarse': {
    title: 'Die Waage ist für diesen Ansatz zu grob',
    words: (f, m) =>
      `Ein Becher verlangt ${m.figure(f.neededG, 3)} g ${wort(f.component)}; eine Waage mit Schritten von ${m.figure(f.scaleResolutionG)} g kann das nicht auf ${m.figure(f.tolerancePercent)} % wiegen.`,
    wayOut: () =>
      'Wiegen Sie auf einer feineren Waage, oder mischen Sie mehr in einem Becher, wo dessen Grenze es zulässt.',
  },
  'resin-too-many-pours': {
    title: 'Der Ansatz bräuchte zu viele Becher',
    words: (f, m) =>
      `${gramm(f.mixG, m)} in Bechern von höchstens ${gramm(f.cupLimitG, m)} sind mehr als ${f.most} Güsse.`,
    wayOut: () =>
      'Prüfen Sie das Gewebegewicht und seine Einheit, oder nehmen Sie ein Harz mit größerer Becherfüllung.',
  },
  'resin-off-ratio': {
    title: 'Harz und Härter stimmen im Verhältnis nicht',
    words: (f, m) =>
      `${gramm(f.hardenerG, m)} Härter auf ${gramm(f.resinG, m)} Harz sind ${m.figure(Math.abs(f.offPercent), 1)} % zu ${f.offPercent < 0 ? 'wenig' : 'viel'}; ${m.figure(f.tolerancePercent)} % sind erlaubt.`,
    wayOut: (f, m) =>
      `Noch nicht gerührt: ${gramm(f.addG, m)} ${wort(f.addTo)} dazu bringt es in Ordnung, wenn die Becherfüllung es zulässt. Gerührt: nicht verwenden; Befund erledigen.`,
  },
  'resin-too-little': {
    title: 'Es wurde zu wenig gemischt',
    words: (f, m) =>
      `${gramm(f.mixG, m)} sind eingewogen; Gewebe und Verluste dieses Gusses verlangen ${gramm(f.neededG, m)}.`,
    wayOut: () =>
      'Wiegen Sie vor dem Rühren von beidem im Verhältnis nach; trockene Faser ist ein Befund.',
  },
  'pigment-over-share': {
    title: 'Mehr Farbpaste als im Ansatz',
    words: (f, m) =>
      `${gramm(f.pigmentG, m)} Farbpaste auf ${gramm(f.resinG, m)} Harz; der Ansatz hat ${gramm(f.shareG, m)}, und ${gramm(f.toleranceG, m)} mehr sind erlaubt.`,
    wayOut: () =>
      'Farbpaste härtet nicht mit aus: werfen Sie den Becher weg und wiegen Sie ihn frisch ein; ein anderer Anteil ist ein anderer Ansatz.',
  },
  'pigment-batch-missing': {
    title: 'Farbpaste ohne Charge',
    words: (f, m) => `${gramm(f.pigmentG, m)} Farbpaste sind eingewogen, aus keiner Charge.`,
    wayOut: () => 'Nennen Sie die Charge; wurde keine genommen, ist die Farbpaste 0.',
  },
  'cured-too-short': {
    title: 'Kürzer ausgehärtet, als das Datenblatt verlangt',
    words: (f, m) =>
      `Vor ${m.figure(f.sinceHours, 1)} h laminiert${f.answeredHours === null ? '' : `, nach Angabe ${m.figure(f.answeredHours, 1)} h ausgehärtet`}; das Datenblatt verlangt ${m.figure(f.cureHours, 1)} h bei ${m.figure(f.cureTemperatureC, 1)} °C.`,
    wayOut: () =>
      'Lassen Sie es bis zum Ende der Zeit liegen, schließen Sie den Befund durch Nacharbeit und zeichnen Sie es noch einmal auf. Wärmer kann es schneller gehen: wo der Hersteller das sagt, nimmt die OT-Meisterin oder der OT-Meister es so an.',
  },
  'cup-over-limit': {
    title: 'Mehr in einem Becher, als das Harzsystem zulässt',
    words: (f, m) =>
      `${gramm(f.mixG, m)} in einem Becher; seine Grenze ist ${gramm(f.cupLimitG, m)}. Ein voller Becher erhitzt sich von selbst.`,
    wayOut: () => 'Verteilen Sie es vor dem Rühren auf mehrere Becher.',
  },
  'mixed-in-future': {
    title: 'Der Zeitpunkt des Mischens liegt in der Zukunft',
    words: (f, m) => `Gemischt wäre es erst in ${m.figure(f.minutesAhead, 1)} Minuten.`,
    wayOut: () =>
      'Zeichnen Sie den Augenblick auf, in dem Harz und Härter zusammenkamen; prüfen Sie die Uhr.',
  },
  'mixed-long-ago': {
    title: 'Der Zeitpunkt des Mischens liegt zu weit zurück',
    words: (f, m) =>
      `Gemischt vor ${m.figure(f.minutesAgo, 0)} Minuten; ein Becher wird innerhalb von ${m.figure(f.greatestMinutes, 0)} aufgezeichnet.`,
    wayOut: () => 'Prüfen Sie Tag und Stunde des Mischens; lassen Sie sie weg, wenn es jetzt ist.',
  },
  'resin-product-name-taken': {
    title: 'Name des Harzsystems schon vergeben',
    words: (f) => `Der Katalog hat schon ein Harzsystem ${f.name}.`,
    wayOut: () =>
      'Öffnen Sie jenes, oder benennen Sie dieses so, dass man die beiden unterscheidet.',
  },
  'resin-product-withdrawn': {
    title: 'Das Harzsystem ist aus dem Katalog genommen',
    words: (f) => `${f.product} wird hier nicht mehr verwendet.`,
    wayOut: () =>
      'Nehmen Sie ein anderes, oder lassen Sie dieses von der Administration wieder aufnehmen.',
  },
  'resin-needs-layup': {
    title: 'Kein freigegebener Lagenaufbau, aus dem sich das Harz rechnen lässt',
    words: (f) => `${f.socket} hat keinen freigegebenen Lagenaufbau.`,
    wayOut: () =>
      'Lassen Sie zuerst den Lagenaufbau freigeben: sein Gewebegewicht ist, was das Harz tränken muss.',
  },
  'resin-recipe-missing': {
    title: 'Kein Ansatz, nach dem sich wiegen lässt',
    words: (f) => `${f.socket} hat keinen Harzansatz.`,
    wayOut: () => 'Berechnen Sie zuerst den Ansatz.',
  },
  'recipe-superseded': {
    title: 'Der Ansatz ist ersetzt',
    words: (f) => `Ansatz ${f.recipe} gilt nicht mehr.`,
    wayOut: () => 'Lesen Sie den Ansatz noch einmal und wiegen Sie nach dem gültigen.',
  },
  'recipe-of-older-layup': {
    title: 'Der Ansatz gehört zu einem älteren Lagenaufbau',
    words: (f) =>
      `Ansatz ${f.recipe} ist aus Lagenaufbau ${f.layup} gerechnet, der nicht mehr gilt.`,
    wayOut: () => 'Berechnen Sie den Ansatz aus dem gültigen Lagenaufbau neu.',
  },
  'recipe-in-use': {
    title: 'Becher des Ansatzes sind eingewogen',
    words: (f) =>
      `Von Ansatz ${f.recipe} sind eingewogen und nicht verworfen: ${f.cups.map((each) => satz(each)).join(', ')}.`,
    wayOut: () =>
      'Wiegen Sie diesen Ansatz zu Ende; ein verschütteter Becher wird nach demselben Ansatz frisch eingewogen. Ist jeder Becher verworfen, fest oder vergossen, tritt ein anderer Ansatz an seine Stelle.',
  },
  'recipe-of-older-sheet': {
    title: 'Das Datenblatt des Harzsystems wurde seither geändert',
    words: (f) =>
      `Ansatz ${f.recipe} ist gerechnet, bevor der Eintrag von ${f.product} geändert wurde: ${f.changed.map((each) => satz(each)).join(', ')}.`,
    wayOut: () => 'Berechnen Sie den Ansatz nach dem jetzigen Datenblatt neu.',
  },
  'recipe-why-missing': {
    title: 'Weniger Harz, als die Werkstatt nimmt, ohne Grund',
    words: (f) =>
      `Unter dem, was die Werkstatt festgelegt hat: ${f.below.map((each) => satz(each)).join('; ')}.`,
    wayOut: () =>
      'Geben Sie den Grund an, oder lassen Sie die Werte weg und nehmen die der Werkstatt.',
  },
  'cup-unknown': {
    title: 'Der Ansatz hat keinen solchen Becher',
    words: (f) => `Genannt ist Becher ${f.pour}; der Ansatz hat ${f.pours}.`,
    wayOut: () => 'Zählen Sie die Becher ab 1, in der Reihenfolge des Vergießens.',
  },
  'cup-already-weighed': {
    title: 'Der Becher ist eingewogen und gut',
    words: (f) => `Becher ${f.pour} hat eine Einwaage, die vergossen werden darf.`,
    wayOut: () =>
      'Wiegen Sie den nächsten Becher ein. Wurde dieser vorzeitig fest oder verschüttet, geben Sie das an; er wird dann noch einmal aus den Chargen genommen.',
  },
  'cup-not-weighed': {
    title: 'Keine Einwaage zum Korrigieren',
    words: (f) => `Becher ${f.pour} ist noch nicht eingewogen.`,
    wayOut: () => 'Zeichnen Sie ihn als frischen Becher auf.',
  },
  'cup-no-longer-flows': {
    title: 'In einen Becher, der vorbei ist, kommt nichts mehr',
    words: (f) =>
      f.spent
        ? `Becher ${f.pour} wurde eingewogen, bevor das Laminieren zuletzt aufgezeichnet wurde: er ist vergossen.`
        : `Die Verarbeitungszeit von Becher ${f.pour} ist vorbei.`,
    wayOut: () => 'Wiegen Sie ihn als frischen Becher ein.',
  },
  'cup-of-another-recipe': {
    title: 'Die Einwaage gehört zu einem anderen Becher',
    words: (f) =>
      `Die Einwaage von Becher ${f.pour} nennt einen Schaft oder eine Einwaage eines anderen Ansatzes.`,
    wayOut: () =>
      'Wiegen Sie nach dem Ansatz genau dieses Schafts; eine Korrektur gilt dem eigenen Becher.',
  },
  'cup-reading-decreases': {
    title: 'Ein Becher wird nicht leichter',
    words: (f, m) =>
      `Im Becher waren ${gramm(f.beforeG, m)} ${wort(f.component)}; die neue Einwaage hat ${gramm(f.nowG, m)}.`,
    wayOut: () =>
      'Lesen Sie die Waage noch einmal: zu einem Becher, der korrigiert wird, kommt etwas hinzu. Sonst verwerfen Sie ihn und wiegen einen frischen ein.',
  },
  'batch-of-another-product': {
    title: 'Charge eines anderen Harzsystems',
    words: (f) => `Charge ${f.lot} gehört zu ${f.product}; der Ansatz ist für ${f.expected}.`,
    wayOut: () =>
      'Scannen Sie eine Charge des Harzsystems, das der Ansatz nennt, oder berechnen Sie einen Ansatz für dieses.',
  },
  'batch-without-product': {
    title: 'Charge ohne Harzsystem',
    words: (f) =>
      `Nichts sagt, zu welchem Harzsystem Charge ${f.lot} gehört; der Ansatz ist für ${f.expected}.`,
    wayOut: () =>
      'Lesen Sie das Etikett; die Werkstatt oder die Administration trägt das Harzsystem der Charge ein, einmal für immer.',
  },
  'batch-product-stands': {
    title: 'Die Charge gehört schon zu einem Harzsystem',
    words: (f) => `Charge ${f.lot} ist als ${f.product} eingetragen; das bleibt so.`,
    wayOut: () => 'Sperren Sie eine falsch eingetragene Charge, und tragen Sie sie neu ein.',
  },
};
