import type { CATALOGUE_REASONS } from '../../../../domain/reasons/catalogue.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { oder, tag, wort } from '../wort.ts';

/** Refusals about the clinic's catalogue, in German. */
export const CATALOGUE: ReasonWords<typeof CATALOGUE_REASONS> = {
  'rating-missing': {
    title: 'Ein tragendes Passteil nennt sein zulässiges Körpergewicht',
    words: (f) => `${f.part} (${wort(f.kind)}) hat kein zulässiges Körpergewicht.`,
    wayOut: () => 'Tragen Sie den Wert vom Etikett des Passteils ein, in Kilogramm.',
  },
  'part-field-misfits': {
    title: 'Diese Art Passteil hat das nicht',
    words: (f) =>
      `${wort(f.kind)}: ${satz(f.field)} gibt es hier nicht, nur bei ${oder(f.haveIt)}.`,
    wayOut: (f) => `Lassen Sie ${satz(f.field)} weg.`,
  },
  'catalogue-number-taken': {
    title: 'Artikelnummer schon vergeben',
    words: (f) => `Ein anderes Passteil im Katalog hat die Nummer ${f.catalogueNumber}.`,
    wayOut: () => 'Öffnen Sie jenes Passteil, oder prüfen Sie die Nummer.',
  },
  'setting-not-for-this-part': {
    title: 'Dieses Passteil trägt das Drehmoment jener Verschraubung nicht',
    words: (f) =>
      `Das Drehmoment der Verschraubung „${wort(f.joint)}“ steht bei ${oder(f.carriers)}, nicht bei ${wort(f.kind)}.`,
    wayOut: () => 'Tragen Sie es bei dem Passteil ein, zu dem es gehört.',
  },
  'route-operation-misplaced': {
    title: 'Kein Arbeitsgang für diese Art Schaft',
    words: (f) => `Ein ${wort(f.socketKind)} hat den Arbeitsgang „${wort(f.operation)}“ nicht.`,
    wayOut: () =>
      'Lassen Sie ihn weg, oder schreiben Sie den Arbeitsplan für die andere Art Schaft.',
  },
  'route-lacks-operation': {
    title: 'Dem Arbeitsplan fehlt ein Arbeitsgang',
    words: (f) => `Der Arbeitsplan für einen ${wort(f.socketKind)} braucht „${wort(f.operation)}“.`,
    wayOut: (f) => `Fügen Sie „${wort(f.operation)}“ an seiner Stelle ein.`,
  },
  'route-order-wrong': {
    title: 'Arbeitsgänge in falscher Reihenfolge',
    words: (f) => `„${wort(f.operation)}“ kommt nach „${wort(f.after)}“.`,
    wayOut: () => 'Tauschen Sie die beiden.',
  },
  'route-operation-twice': {
    title: 'Ein Arbeitsgang, den es nur einmal gibt',
    words: (f) => `Der Arbeitsplan hat „${wort(f.operation)}“ mehr als einmal.`,
    wayOut: () =>
      'Lassen Sie den zweiten weg: Ansatz, Becher und Aushärtung gehören zu einem Laminat; wird es wiederholt, ist das ein Befund mit Nacharbeit.',
  },
  'route-check-twice': {
    title: 'Zwei Prüfpunkte mit demselben Schlüssel',
    words: (f) => `„${f.operation}“ hat den Schlüssel ${f.key} zweimal.`,
    wayOut: () => 'Geben Sie jedem Prüfpunkt eines Arbeitsgangs einen eigenen Schlüssel.',
  },
  'route-limits-wrong': {
    title: 'Grenzen, die kein Wert einhält',
    words: (f, m) =>
      `„${f.check}“ reicht von ${f.min === null ? 'nichts' : m.figure(f.min)} bis ${f.max === null ? 'nichts' : m.figure(f.max)}.`,
    wayOut: () =>
      'Geben Sie einen kleinsten oder größten Wert an, den kleinsten nicht über dem größten.',
  },
  'route-bench-unknown': {
    title: 'Kein solcher Arbeitsplatz in Gebrauch',
    words: (f) =>
      `„${f.operation}“ geschieht am Arbeitsplatz ${f.bench}; keiner in Gebrauch heißt so.`,
    wayOut: () => 'Nennen Sie einen vorhandenen Arbeitsplatz, oder legen Sie ihn zuerst an.',
  },
  'bench-name-taken': {
    title: 'Ein Arbeitsplatz hat diesen Namen',
    words: (f) => `Es gibt schon einen Arbeitsplatz ${f.name}.`,
    wayOut: () => 'Geben Sie diesem einen eigenen Namen.',
  },
  'tool-name-taken': {
    title: 'Ein Werkzeug hat diesen Namen',
    words: (f) => `Es gibt schon ein Werkzeug ${f.name}.`,
    wayOut: () => 'Geben Sie diesem einen eigenen Namen, so wie er auf seinem Etikett steht.',
  },
  'tool-range-upside-down': {
    title: 'Der Messbereich des Drehmomentschlüssels ergibt keinen Sinn',
    words: (f, m) =>
      `Der Bereich geht von ${m.torque.of(f.minNm)} bis ${m.torque.of(f.maxNm)} ${m.torque.unit}.`,
    wayOut: () =>
      'Tragen Sie das kleinste und das größte Drehmoment des Werkzeugs ein, in dieser Reihenfolge.',
  },
  'tool-is-not-for-torque': {
    title: 'Nur Drehmomentschlüssel werden kalibriert',
    words: (f) => `${f.tool} ist: ${wort(f.kind)}.`,
    wayOut: () => 'Nennen Sie den Drehmomentschlüssel des Zertifikats.',
  },
  'tool-service-unchanged': {
    title: 'Das Werkzeug ist schon so',
    words: (f) => `${f.tool} ist schon ${f.outOfService ? 'außer Gebrauch' : 'in Gebrauch'}.`,
    wayOut: () => 'Nichts zu tun.',
  },
  'day-order-wrong': {
    title: 'Tage in falscher Reihenfolge',
    words: (f) => `${satz(f.what)}: ${tag(f.day)}, vor dem ${tag(f.earliest)}.`,
    wayOut: () => 'Prüfen Sie beide Tage.',
  },
  'lot-taken': {
    title: 'Die Charge steht schon im Buch',
    words: (f) => `Es gibt schon eine Charge ${f.lot} (${wort(f.kind)}).`,
    wayOut: () =>
      'Arbeiten Sie mit jener weiter; eine weitere Lieferung derselben Charge erhält einen eigenen Zusatz.',
  },
  'batch-already-open': {
    title: 'Die Charge ist angebrochen',
    words: (f) => `Charge ${f.lot} wurde am ${tag(f.openedOn)} angebrochen.`,
    wayOut: () => 'Nichts zu tun.',
  },
  'batch-already-quarantined': {
    title: 'Die Charge ist schon gesperrt',
    words: (f) => `Charge ${f.lot} ist gesperrt.`,
    wayOut: () => 'Nichts zu tun.',
  },
};
