/** Layup rules, in German. */
import type { Words } from '../../en.ts';
import { viele, zahl } from '../zahl.ts';

export const rules: Words['admin']['rules'] = {
  says: 'Sie schlagen vor; die OT-Meisterin oder der OT-Meister entscheidet und unterschreibt. Ein Lagenaufbau behält die Fassung, aus der er stammt.',
  rows: 'Zeilen',
  rowsHelp:
    'Für jede Person bis zum größten Körpergewicht gilt genau eine Zeile, nach Körpergewicht, Mobilitätsgrad (K0 bis K4) und Amputationshöhe. Lücken und Überschneidungen stehen hier und werden nicht gesichert.',
  addRow: 'Zeile hinzufügen',
  rowOf: (n) => `Zeile ${n}`,
  nameOf: (n) => `Name von Zeile ${n}`,
  aboveOf: (n) => `Körpergewicht über, kg (Zeile ${n})`,
  upToOf: (n) => `bis, kg (Zeile ${n})`,
  functionalLevelsOf: (n) => `Mobilitätsgrade von Zeile ${n}`,
  levelsOf: (n) => `Amputationshöhen von Zeile ${n}`,
  layerCount: (lines) => (lines === 1 ? 'ein Eintrag' : `${lines} Einträge`),
  rowUpOf: (n) => `Zeile ${n} nach oben`,
  rowOutOf: (n) => `Zeile ${n} herausnehmen`,
  rowOut: 'Zeile herausnehmen',
  insideToOutside: 'Lagen von innen nach außen',
  toolingPlate: 'Hier kommt die Laminierplatte hinein.',
  materialOf: (n) => `Material von Lage ${n}`,
  layersOf: (n) => `Wie viele (Lage ${n})`,
  directionOf: (n) => `Richtung von Lage ${n}`,
  layerUpOf: (n) => `Lage ${n} nach oben`,
  layerOutOf: (n) => `Lage ${n} herausnehmen`,
  addLayer: 'Lagen eines Gewebes hinzufügen',
  addPlate: 'Laminierplatte hinzufügen',
  forAll: 'Für alle Zeilen',
  forAllHelp:
    'Womit Zuschnittliste, Gewicht und Stärke gerechnet werden, welche Zeile es auch ist.',
  figures: {
    topBodyMassKg: 'Größtes Körpergewicht, kg',
    fibreMassFraction: 'Fasermassenanteil',
    brimMm: 'Zugabe am Rand, mm',
    endTieMm: 'Zum Abbinden am distalen Ende, mm',
    overlapMm: 'Überlappung gewickelten Gewebes, mm',
    stepMm: 'Längen in Schritten von, mm',
  },
  figuresHelp: {
    topBodyMassKg:
      'Darüber wird nichts vorgeschlagen: die OT-Meisterin oder der OT-Meister schreibt den Lagenaufbau. Anfangswert 125 kg; übliche Praxis, ohne Quelle.',
    fibreMassFraction:
      'Gewicht der Faser im Gewicht des fertigen Laminats, als Bruchteil von 1. Wiegen Sie einen beschliffenen Schaft gegen sein trockenes Gewebe, um Ihren zu kennen.',
    brimMm: 'Über den Rand hinaus, an jedem Ende des Gewebes, das dort heraussteht.',
    endTieMm: 'Um den Schlauch am distalen Ende abzubinden oder zu verdrehen, für jedes Stück.',
    overlapMm: 'Um wie viel die Kanten gewickelten flachen Gewebes übereinanderliegen.',
    stepMm: 'Längen werden auf ganze Schritte davon aufgerundet.',
  },
  exampleTitle: 'Was vorgeschlagen würde',
  exampleHelp:
    'Für einen erfundenen Stumpf; geben Sie einen anderen ein. Gerechnet wie an der Werkbank: Stärke und Gewicht sind zu erwartende Werte für ein Laminat ohne Lufteinschlüsse.',
  example: {
    bodyMassKg: 'Körpergewicht, kg',
    functionalLevel: 'Mobilitätsgrad (K)',
    level: 'Amputationshöhe',
    lengthMm: 'Stumpflänge, mm',
    endMm: 'Umfang am distalen Ende, mm',
    brimMm: 'Umfang am Rand, mm',
  },
  byThose: (version) => `Nach Fassung ${version}`,
  byTyped: 'Wie jetzt eingegeben',
  nothingProposed: 'Nichts wird vorgeschlagen:',
  row: (name) => `Zeile „${name}“`,
  line: (fabric, layers, direction, reflected) =>
    `${fabric}: ${viele(layers, 'Lage', 'Lagen')}, ${direction}${reflected ? ', über dem distalen Ende umgeschlagen' : ''}`,
  who: (aboveKg, upToKg, levels) =>
    `${aboveKg === 0 ? '' : `über ${zahl(aboveKg)} `}bis ${zahl(upToKg)} kg · ${levels}`,
  everyLevel: 'jede Amputationshöhe',
  write: 'Nächste Fassung schreiben',
  written: (version) => `Fassung ${version} der Armierungsregeln gilt.`,
  racedWayOut:
    'Ihre Eingabe steht noch da, jetzt neben jener Fassung. Schreiben Sie sie, tritt sie an ihre Stelle; was die andere Person geändert hat, geht verloren, wo Ihre abweicht. Lesen Sie beide, und nehmen Sie in Ihre auf, was bleiben soll.',
  whatChanges: (version) => `Was sich gegenüber Fassung ${version} ändert`,
  figureChanged: (what, was, is) => `${what}: ${zahl(is)}; war ${zahl(was)}.`,
  rowAdded: (name, who) => `Neue Zeile „${name}“: ${who}.`,
  rowTakenOut: (name, who) => `Zeile „${name}“ entfällt: ${who}.`,
  whoChanged: (name, was, is) => `„${name}“ ist für: ${is}; war ${was}.`,
  layerAdded: (name, layer) => `„${name}“ hat jetzt: ${layer}.`,
  layerGone: (name, layer) => `„${name}“ hatte und hat nicht mehr: ${layer}.`,
  layersOrdered: (name, layers) => `„${name}“ in anderer Reihenfolge: ${layers}.`,
};
