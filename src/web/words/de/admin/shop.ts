/** The shop, in German: tools and their calibrations, bins, benches. */
import type { Words } from '../../en.ts';
import { zahl } from '../zahl.ts';

export const shop: Pick<Words['admin'], 'tools' | 'bins' | 'benches'> = {
  tools: {
    enter: 'Werkzeug eintragen',
    enterHelp:
      'Dummys, Laminierplatten und Drehmomentschlüssel haben einen Ort wie Passteile, verlassen das Haus aber nie mit einer Prothese. Es kommt gleich in sein Lagerfach.',
    entered: (name) => `${name} ist eingetragen.`,
    kinds: {
      fabrication_dummy: 'Dummy',
      tooling_plate: 'Laminierplatte',
      torque_tool: 'Drehmomentschlüssel',
    },
    types: {
      indicating: 'zeigt das Drehmoment an (Typ I)',
      setting: 'löst beim eingestellten Drehmoment aus (Typ II)',
    },
    fields: {
      kind: 'Art',
      name: 'Name',
      serial: 'Seriennummer',
      holePattern: 'Lochbild',
      toolType: 'Typ',
      toolClass: 'Klasse',
      minNm: 'Messbereich von, N·m',
      maxNm: 'Messbereich bis, N·m',
      toPlaceId: 'Lagerfach',
    },
    help: {
      name: 'Wie auf seinem Etikett; einmal in der Werkstatt.',
      toolType:
        'ISO 6789-1: ein Werkzeug vom Typ I zeigt, was gedreht wird; eines vom Typ II klickt oder rutscht beim eingestellten Wert.',
      toolClass:
        'Der Buchstabe in seinen Papieren (ISO 6789-1): A bis E bei Typ I, A bis G bei Typ II. Davon hängt ab, wie weit es abweichen darf.',
      range:
        'Aus seinen Papieren. Ein Drehmoment außerhalb des Messbereichs lässt sich damit nicht nachweisen.',
      toPlaceId: 'Wo es von jetzt an liegt.',
    },
    place: 'Wo es ist',
    due: 'Kalibrierung fällig',
    range: 'Messbereich',
    rangeWords: (from, to) => `${zahl(from)} bis ${zahl(to)} N·m`,
    permissible: 'Darf abweichen um',
    neverCalibrated: 'nie kalibriert',
    service: 'Gebrauch',
    inService: 'in Gebrauch',
    outOfService: 'außer Gebrauch',
    proves: (left) =>
      `Eine damit angezogene Verschraubung gilt heute. Noch ${zahl(left)} Anwendungen, bis es wieder zu kalibrieren ist.`,
    provesNot: 'Keine damit angezogene Verschraubung gilt heute:',
    takeOut: 'Außer Gebrauch nehmen',
    takeOutHelp:
      'Heruntergefallen, beschädigt, verliehen: von jetzt an weist es nichts nach. Damit geschlossene Verschraubungen bleiben geschlossen; sehen Sie sie in seiner Rückverfolgung an.',
    putBack: 'Wieder in Gebrauch nehmen',
    putBackHelp:
      'Nach der Reparatur, mit dem Grund. Ein Drehmomentschlüssel weist erst mit gültiger Kalibrierung wieder etwas nach.',
    why: 'Warum',
    isOut: (name) => `${name} ist außer Gebrauch.`,
    isBack: (name) => `${name} ist wieder in Gebrauch.`,
    calibration: {
      title: 'Kalibrierungen',
      titleHelp:
        'Zwölf Monate oder 5000 Anwendungen, was zuerst eintritt (ISO 6789-1). Die Anwendungen werden aus den aufgezeichneten Werten gezählt.',
      none: 'Kein Zertifikat ist aufgezeichnet: damit lässt sich keine Verschraubung nachweisen.',
      by: (certificate, laboratory) => `Zertifikat ${certificate}, ${laboratory}`,
      found: (percent) => `Vorgefunden mit ${zahl(percent)} % Abweichung.`,
      left: (percent) => `Eingestellt; es bleiben ${zahl(percent)} % Abweichung.`,
      inDoubt: (count) =>
        count === 1
          ? 'Eine Verschraubung, die seit der Kalibrierung davor damit geschlossen wurde, ist zweifelhaft.'
          : `${zahl(count)} Verschraubungen, die seit der Kalibrierung davor damit geschlossen wurden, sind zweifelhaft.`,
      whichOnes: 'Welche',
      enter: 'Zertifikat eintragen',
      entered: 'Das Zertifikat ist aufgezeichnet.',
      fields: {
        calibratedOn: 'Kalibriert am',
        certificate: 'Nummer des Zertifikats',
        laboratory: 'Labor',
        validUntil: 'Gültig bis',
        deviationPercent: 'Größte Abweichung, wie es ankam, Prozent',
        deviationAfterPercent: 'Größte verbliebene Abweichung, Prozent',
      },
      help: {
        certificate: 'Einmal für dieses Werkzeug.',
        laboratory:
          'Wer es kalibriert hat, mit der Akkreditierung, wo es eine gibt (ISO/IEC 17025).',
        validUntil:
          'Nur, wenn das Zertifikat selbst einen früheren Tag nennt als zwölf Monate danach.',
        deviationPercent:
          'Liegt sie über dem, was seine Klasse erlaubt, ist zweifelhaft, was es seit der Kalibrierung davor geschlossen hat. Leer: das Zertifikat sagt es nicht.',
        deviationAfterPercent:
          'Nur, wenn das Labor es eingestellt hat: dann entscheidet dieser Wert, ob es nachweist.',
      },
    },
  },
  bins: {
    says: 'Lagerfächer für Passteile und Werkzeuge. Wareneingang, Werkbank, Sperrlager und Ausgesondertes gibt es von Anfang an. Ein Lagerfach bleibt: Bewegungen von vor Jahren nennen es.',
    add: 'Lagerfach anlegen',
    addHelp: 'So, wie es am Regal steht, damit es findet, wer das Buch liest.',
    name: 'Name',
    added: (name) => `Lagerfach ${name} ist angelegt.`,
  },
  benches: {
    says: 'Die geplanten Minuten der Arbeitspläne ergeben, neben den besetzten Stunden eines Arbeitsplatzes, seine Auslastung am Tag.',
    manned: (people) => (people === 1 ? 'eine Person' : `${people} Personen`),
    givenUp: 'aufgegeben',
    name: 'Name',
    nameHelp: 'Arbeitspläne nennen ihn. Anders genannt, ist es immer noch derselbe Arbeitsplatz.',
    people: 'Personen zugleich',
    peopleHelp: 'Wie viele dort nebeneinander arbeiten, 1 bis 50; nicht, wie viele könnten.',
    active: 'In Gebrauch',
    activeHelp:
      'Ist er aufgegeben, darf ihn kein Arbeitsplan mehr nennen. Arbeit, die dort schon geplant ist, erscheint als Überlast.',
    add: 'Arbeitsplatz anlegen',
    addHelp: 'Ein Ort in der Werkstatt, an dem eine Art Arbeit getan wird: Gips, Ofen, Schleifen.',
    added: (name) => `Arbeitsplatz ${name} ist angelegt.`,
  },
};
