/** Parts, their torque settings and their pieces, in German. */
import type { Words } from '../../en.ts';

export const parts: Words['admin']['parts'] = {
  enter: 'Passteil eintragen',
  enterSays:
    'Wie Etikett und Unterlage des Herstellers es sagen. Was ein Passteil trägt und wie fest seine Schrauben sind, wird dort gelesen und nirgends sonst.',
  everyKind: 'jede Art',
  withdrawnOnly: 'nur herausgenommene',
  settingInForce: 'Geltendes Drehmoment',
  kinds: {
    lock: 'Arretierung',
    lock_plate: 'Arretierungsplatte',
    release_valve: 'Entriegelung',
    spring: 'Feder der Arretierung',
    pin: 'Pin',
    pyramid: 'Pyramidenadapter',
    four_hole_adapter: 'Vierlochadapter',
    screw_set: 'Schraubensatz',
  },
  joints: { distal: 'distal', lock_plate: 'Arretierungsplatte', release_valve: 'Entriegelung' },
  fromDocument: (document, revision) => `${document}, Ausgabe ${revision}`,
  catalogue: {
    whatItIs: 'Was es ist',
    whatItBears: 'Was es trägt',
    onItsLabel: 'Auf seinem Etikett',
    kind: 'Art',
    catalogueNumber: 'Katalognummer',
    name: 'Name',
    holePattern: 'Lochbild',
    thread: 'Gewinde',
    pinFit: 'Welcher Pin in welche Arretierung passt',
    side: 'Seite',
    singleUse: 'Einmalgebrauch: nie in einen zweiten Schaft',
    ratedBodyMassKg: 'Zulässiges Körpergewicht, kg',
    ratedNeeded: 'Diese Art trägt den Menschen: es muss angegeben sein.',
    ratingDocument: 'Wo das zulässige Körpergewicht steht',
    leastClicks: 'Mindestzahl der Klicks bei der Prüfung der Arretierung',
    rangeDeg: 'Neigbar nach jeder Seite, Grad',
    serviceIntervalDays: 'Serviceintervall, Tage',
    udiIssuer: 'Vergabestelle des Codes auf seinem Etikett',
    udiDeviceIdentifier: 'Produktkennung',
    issuers: { GS1: 'GS1', HIBCC: 'HIBCC' },
  },
  help: {
    kind: 'Entscheidet, wo es im Schaft sitzt und was man von ihm wissen muss. Bleibt, wie es eingetragen ist.',
    catalogueNumber:
      'Die Nummer des Herstellers oder Lieferanten. Einmal im Katalog; bleibt, wie sie eingetragen ist.',
    name: 'Wie man es an der Werkbank nennt.',
    holePattern:
      'Wie es mit seinen Nachbarn verschraubt wird, etwa „4-Loch 36 mm“. Nur Passteile mit demselben Lochbild kommen zusammen.',
    thread:
      'Gewinde der Schrauben, die es aufnimmt, oder der Schraube, die es ist, etwa „M6“ (ISO 261).',
    pinFit:
      'Dasselbe Wort bei Arretierung und Pin sagt, dass sie zueinander passen. Leer gelassen, wird niemand gewarnt, wenn sie es nicht tun.',
    side: 'Nur, wo sich links von rechts unterscheidet.',
    singleUse:
      'Schrauben mit getrockneter Schraubensicherung, Federn, wo der Hersteller es sagt: beim Umbau in einen anderen Schaft werden stattdessen neue angeboten.',
    whatItBears:
      'Die Stufen der ISO 10328 sind Namen für Prüflasten; die Norm warnt davor, ein Teil danach zu wählen. Das eigene Etikett des Passteils entscheidet. Die Software warnt; die OT-Meisterin oder der OT-Meister entscheidet.',
    ratedBodyMassKg:
      'Vom eigenen Etikett des Passteils, in Kilogramm. Niemand Schwereres erhält es; ab 90 % muss die OT-Meisterin oder der OT-Meister es zur Kenntnis nehmen.',
    ratingDocument:
      'Unterlage und Ausgabe, in der der Hersteller den Wert angibt, damit man ihn nachlesen kann.',
    leastClicks:
      'Wie viele Klicks der Hersteller beim Einfahren des Pins hören will. Eine Prüfung mit weniger ist nicht bestanden.',
    rangeDeg:
      'Wie weit es sich laut Unterlage nach jeder Seite neigen lässt: beim Aufbau steht, was davon übrig ist.',
    serviceIntervalDays:
      'Nach so vielen Tagen am Menschen ist der Service fällig. Leer: der Hersteller nennt kein Intervall.',
    onItsLabel:
      'An Vergabestelle und Produktkennung wird ein eingelesenes Etikett als dieses Passteil erkannt. Beide gehören zusammen; ohne sie wird es von Hand angenommen.',
    udiIssuer: 'GS1-Codes beginnen mit (01) und 14 Ziffern, HIBCC-Codes mit einem Pluszeichen.',
    udiDeviceIdentifier:
      'GS1: die 14 Ziffern der GTIN. HIBCC: Herstellerkennung, Produkt und Maßeinheit. Die Prüfzeichen werden geprüft.',
  },
  oneTorque: (torque) => `${torque} N·m`,
  band: (from, to) => `${from} bis ${to} N·m`,
  clamp: (f) =>
    `Jede Schraube würde mit etwa ${f.from} bis ${f.to} N klemmen: ${f.percentFrom} bis ${f.percentTo} % ihrer ${f.name} von ${f.limit} N.`,
  settings: 'Drehmomente',
  settingsHelp:
    'Der Bereich, den die Unterlage des Herstellers angibt, mit der Unterlage selbst. Ein Drehmoment wird nie überschrieben: ein neues tritt an seine Stelle, und das alte bleibt erhalten. Früher bestätigte Verschraubungen bleiben nach dem Drehmoment ihres Tages bestätigt.',
  noSetting:
    'Kein Drehmoment ist hinterlegt: Verschraubungen, die an diesem Passteil hängen, lassen sich nicht anziehen.',
  settingElsewhere:
    'Seine Verschraubungen werden nach dem Drehmoment des Passteils angezogen, von dem die Unterlage des Herstellers handelt: Arretierungsplatte, Entriegelung, Pyramidenadapter oder Vierlochadapter.',
  newSetting: 'Neues Drehmoment eintragen',
  fasteners: (count, size, propertyClass) =>
    `${count} × ${size}, Festigkeitsklasse ${propertyClass}`,
  threadlockers: { none: 'ohne Schraubensicherung', required: 'mit Schraubensicherung' },
  since: (when) => `Gilt seit ${when}.`,
  fromTo: (from, to) => `Abgelöst. Galt von ${from} bis ${to}.`,
  setting: {
    jointKind: 'Verschraubung',
    document: 'Unterlage',
    revision: 'Ausgabe',
    unit: 'Einheit der Unterlage',
    torqueMin: 'Kleinstes Drehmoment',
    torqueMax: 'Größtes Drehmoment',
    fastenerCount: 'Anzahl der Schrauben',
    fastenerSize: 'Größe',
    propertyClass: 'Festigkeitsklasse',
    threadlocker: 'Schraubensicherung',
  },
  settingHelp: {
    jointKind:
      'Welche Schrauben gemeint sind. Das Drehmoment steht bei dem Passteil, von dem die Unterlage des Herstellers handelt.',
    document:
      'Titel oder Nummer der Unterlage des Herstellers, damit jeder sie nachlesen kann. Ohne Unterlage kein Drehmoment.',
    revision: 'Ausgabe, Stand oder Datum, wie es darauf steht.',
    unit: 'Geben Sie ein, was die Unterlage sagt, in ihrer eigenen Einheit; behalten wird es in Newtonmetern. 1 N·m sind 8,85 lbf·in (NIST SP 811).',
    torqueMin: 'Nennt die Unterlage nur einen Wert, geben Sie ihn zweimal ein.',
    torqueMax:
      'In dem Bereich zwischen beiden, verengt um das, was das Werkzeug abweichen darf, muss ein Wert liegen.',
    propertyClass:
      'Steht auf dem Schraubenkopf: 8.8, 10.9, 12.9 (Stahl, ISO 898-1), A2-70 und dergleichen (nichtrostend, ISO 3506-1).',
    threadlocker:
      'Ob die Unterlage eine verlangt. Dann wird eine Verschraubung ohne ihre Charge nicht bestätigt.',
  },
  saveSetting: 'Drehmoment eintragen',
  settingSaved: (clamp) => `Das Drehmoment gilt. ${clamp}`,
  clampLater:
    'Sind Drehmoment, Einheit, Größe und Festigkeitsklasse da, steht hier, mit welcher Kraft jede Schraube klemmen würde.',
  clampIsEstimate: (friction, limit) =>
    `Eine Schätzung, F = T/(K·d): schon das Drehmoment allein streut die Klemmkraft um etwa ein Viertel nach beiden Seiten. Reibung: ${friction}. Grenze: ${limit}. Die Unterlage des Herstellers entscheidet.`,
};
