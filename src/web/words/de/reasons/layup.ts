import type { LAYUP_REASONS } from '../../../../domain/reasons/layup.ts';
import { ofSmall } from '../../../../domain/reasons/measures.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { stoff, wort, worte } from '../wort.ts';

/** Refusals about fabrics, layup rules and layups, in German. */
export const LAYUP: ReasonWords<typeof LAYUP_REASONS> = {
  'layup-not-approved': {
    title: 'Gewebe nur nach unterschriebenem Lagenaufbau',
    words: (f) => `${f.socket} hat keinen mit Unterschrift freigegebenen Lagenaufbau.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister gibt einen Lagenaufbau dieses Schafts frei und unterschreibt.',
  },
  'layup-not-signed': {
    title: 'Ein Lagenaufbau wird mit Unterschrift freigegeben',
    words: (f) => `Auf Lagenaufbau ${f.layup} ist keine Freigabe unterschrieben.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister gibt den Lagenaufbau frei und unterschreibt.',
  },
  'layup-of-definitive-only': {
    title: 'Nur ein Definitivschaft hat einen Lagenaufbau',
    words: (f) => `${f.socket} ist kein Definitivschaft.`,
    wayOut: () => 'Armieren Sie den Definitivschaft des Auftrags.',
  },
  'fabric-unknown': {
    title: 'Kein solches Gewebe im Katalog',
    words: (f) => `Der Katalog hat kein Gewebe ${stoff(f.fabric)}.`,
    wayOut: () =>
      'Nennen Sie ein Gewebe des Katalogs, oder lassen Sie es von der Administration eintragen.',
  },
  'fabric-not-in-layup': {
    title: 'Ein Gewebe, das nicht im Lagenaufbau steht',
    words: (f) =>
      `Charge ${f.lot} ist ${f.fabric}; die Zuschnittliste von Lagenaufbau ${f.layup} enthält nichts davon.`,
    wayOut: () =>
      'Nehmen Sie eine Charge eines Gewebes der Zuschnittliste, oder lassen Sie einen Lagenaufbau mit diesem freigeben.',
  },
  'fabric-too-narrow': {
    title: 'Der Schlauch reicht nicht um den Stumpf',
    words: (f, m) =>
      `${f.fabric}, flach ${m.small.of(f.widthMm)} ${m.small.unit}, dehnt sich auf einen Umfang von ${m.length.of(f.reachesMm, 0)} ${m.length.unit}; der Stumpf hat ${m.length.of(f.greatestCircumferenceMm, 0)} ${m.length.unit}.`,
    wayOut: () => 'Nehmen Sie einen weiteren Schlauch, oder wickeln Sie flaches Gewebe.',
  },
  'layup-past-top-mass': {
    title: 'Für dieses Körpergewicht wird kein Lagenaufbau vorgeschlagen',
    words: (f, m) =>
      `Das Körpergewicht ist ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}; die Armierungsregeln der Werkstatt enden bei ${m.mass.of(f.topBodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister schreibt den Lagenaufbau; Werte und Zuschnittliste werden dann gerechnet.',
  },
  'layup-no-rule': {
    title: 'Keine Zeile der Armierungsregeln passt',
    words: (f, m) =>
      `Keine Zeile gilt für ${wort(f.level)}, ${f.functionalLevel}, ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister schreibt den Lagenaufbau, oder die Regeln erhalten eine solche Zeile.',
  },
  'layup-rules-gap': {
    title: 'Die Armierungsregeln lassen Personen aus',
    words: (f, m) =>
      `Über ${m.mass.of(f.aboveKg, 1)} und bis ${m.mass.of(f.upToKg, 1)} ${m.mass.unit} gilt keine Zeile für ${worte(f.patients)}.`,
    wayOut: () =>
      'Geben Sie ihnen eine Zeile, oder senken Sie das Körpergewicht, bei dem die Regeln enden.',
  },
  'layup-rules-overlap': {
    title: 'Zwei Zeilen der Armierungsregeln gelten für dieselben Personen',
    words: (f) => `${f.rows.join(' und ')} gelten beide für ${worte(f.patients)}.`,
    wayOut: () =>
      'Ändern Sie Körpergewicht, Mobilitätsgrade oder Amputationshöhen der einen, sodass eine Zeile bleibt.',
  },
  'layup-row-empty': {
    title: 'Eine Zeile der Armierungsregeln gilt für niemanden',
    words: (f) => `In ${f.row} fehlt: ${satz(f.lacks)}.`,
    wayOut: () => 'Füllen Sie sie aus, oder lassen Sie die Zeile weg.',
  },
  'layup-row-mass-upside-down': {
    title: 'Körpergewichte einer Zeile in falscher Reihenfolge',
    words: (f, m) =>
      `${f.row} gilt über ${m.mass.of(f.aboveKg, 1)} und bis ${m.mass.of(f.upToKg, 1)} ${m.mass.unit}.`,
    wayOut: () => 'Das kleinere Gewicht zuerst; keines liegt über dem, bei dem die Regeln enden.',
  },
  'layup-without-fabric': {
    title: 'Ein Lagenaufbau ohne Gewebe',
    words: () => 'Der Lagenaufbau nennt kein Gewebe.',
    wayOut: () => 'Führen Sie die Lagen von innen nach außen auf.',
  },
  'layup-line-misfits': {
    title: 'Eine Lage, die sich so nicht legen lässt',
    words: (f, m) => `${stoff(f.fabric)}: ${satz(f.why, ofSmall(m))}.`,
    wayOut: () => 'Ändern Sie Richtung, Umschlag oder Gewebe dieser Lage.',
  },
  'fabric-name-taken': {
    title: 'Ein Gewebe hat diesen Namen',
    words: (f) => `Der Katalog hat schon ein Gewebe ${f.name}.`,
    wayOut: () => 'Öffnen Sie jenes Gewebe, oder geben Sie diesem einen eigenen Namen.',
  },
  'fabric-withdrawn': {
    title: 'Das Gewebe ist aus dem Katalog genommen',
    words: (f) => `${f.fabric} ist aus dem Katalog genommen.`,
    wayOut: () => 'Tragen Sie die Rolle als ein Gewebe in Gebrauch ein.',
  },
  'material-has-another-form': {
    title: 'Alle Rollen eines Materials haben eine Form',
    words: (f) =>
      `${f.other} ist dasselbe Material, ${stoff(f.material)}, und kommt als ${wort(f.form)}.`,
    wayOut: () =>
      'Geben Sie diesem Gewebe ein eigenes Material, oder nehmen Sie das andere aus dem Katalog.',
  },
  'layup-without-body-mass': {
    title: 'Kein Lagenaufbau ohne Körpergewicht',
    words: (f) =>
      `Für ${f.patient} ist kein Körpergewicht aufgezeichnet; ein Lagenaufbau lässt sich darum nicht wählen.`,
    wayOut: () => 'Wiegen Sie und zeichnen Sie das Körpergewicht mit dem Tag auf.',
  },
  'layup-why-missing': {
    title: 'Ein Lagenaufbau, den die Regeln nicht vorschlagen, braucht einen Grund',
    words: (f, m) => `${satz(f.because, m)} Aufzuzeichnen ist, warum anders armiert wird.`,
    wayOut: () => 'Geben Sie den Grund an, oder nehmen Sie, was die Regeln vorschlagen.',
  },
  'layup-approved-before': {
    title: 'Ein freigegebener Lagenaufbau wird nur mit Grund ersetzt',
    words: (f) => `Lagenaufbau ${f.layup} des Schafts ist freigegeben.`,
    wayOut: () => 'Geben Sie an, warum ein anderer an seine Stelle tritt.',
  },
  'layup-already-approved': {
    title: 'Der Lagenaufbau ist schon freigegeben',
    words: (f) => `Lagenaufbau ${f.layup} ist schon freigegeben.`,
    wayOut: () => 'Es ist nichts mehr zu unterschreiben; lesen Sie den Lagenaufbau.',
  },
  'layup-is-superseded': {
    title: 'Ein neuerer Lagenaufbau ist an seine Stelle getreten',
    words: (f) => `Lagenaufbau ${f.layup} ist ersetzt.`,
    wayOut: () => 'Lesen Sie den neuesten Lagenaufbau des Schafts und geben Sie diesen frei.',
  },
  'layup-already-laminated': {
    title: 'Der Lagenaufbau ist vergossen',
    words: (f) =>
      `Für ${f.socket} ist ein Laminat aufgezeichnet; sein Lagenaufbau bleibt, wie er ist.`,
    wayOut: () =>
      'Melden Sie einen Befund; ein anderer Lagenaufbau gehört zu einem anderen Schaft.',
  },
  'layup-outgrown': {
    title: 'Das Körpergewicht übersteigt, wofür der Lagenaufbau gemacht ist',
    words: (f, m) =>
      `Lagenaufbau ${f.layup} von ${f.socket} ist bis ${m.mass.of(f.madeForKg, 1)} ${m.mass.unit} gemacht; das Körpergewicht ist ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () =>
      'Geben Sie vor dem Vergießen einen anderen Lagenaufbau frei, fertigen Sie den Schaft neu, oder die OT-Meisterin oder der OT-Meister nimmt ihn so an, mit Unterschrift.',
  },
  'layup-basis-changed': {
    title: 'Woraus der Lagenaufbau gerechnet ist, hat sich geändert',
    words: (f, m) =>
      `Lagenaufbau ${f.layup} gilt nicht mehr: ${f.changed.map((each) => satz(each, m)).join('; ')}.`,
    wayOut: () => 'Entwerfen Sie den Lagenaufbau neu und geben Sie dann diesen frei.',
  },
};
