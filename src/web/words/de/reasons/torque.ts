import { TORQUE_UNIT_SYMBOLS } from '../../../../domain/torqueUnits.ts';
import type { TORQUE_REASONS } from '../../../../domain/reasons/torque.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, wort } from '../wort.ts';

const NEU_ANZIEHEN =
  'Die Werte sind festgehalten. Lösen Sie die Schraube, reinigen Sie sie und tragen Sie Schraubensicherung nach Vorgabe des Herstellers neu auf; ziehen Sie die ganze Verschraubung neu an und zeichnen Sie sie auf.';

/** Refusals about torque, torque tools and their calibration, in German. */
export const TORQUE: ReasonWords<typeof TORQUE_REASONS> = {
  'torque-out-of-band': {
    title: 'Drehmoment außerhalb des angenommenen Bereichs',
    words: (f, m) =>
      `Schraube ${f.fastener} zeigt ${m.torque.of(f.readingNm)} ${m.torque.unit}; angenommen werden ${m.torque.of(f.acceptedFromNm)} bis ${m.torque.of(f.acceptedToNm)} ${m.torque.unit}.`,
    wayOut: () => NEU_ANZIEHEN,
  },
  'fastener-without-reading': {
    title: 'Eine Schraube hat keinen Drehmomentwert',
    words: (f) => `Schraube ${f.fastener} von ${f.fastenerCount} hat keinen Wert.`,
    wayOut: () =>
      'Ziehen Sie die ganze Verschraubung in ihrer Reihenfolge an und zeichnen Sie für jede Schraube einen Wert auf.',
  },
  'fastener-over-torqued': {
    title: 'Die Schraube wurde unterwegs überdreht',
    words: (f, m) =>
      `Schraube ${f.fastener} zeigte in Durchgang ${f.pass} ${m.torque.of(f.readingNm)} ${m.torque.unit}, mehr als die ${m.torque.of(f.acceptedToNm)} ${m.torque.unit}, die angenommen werden; ein späterer, kleinerer Wert macht das nicht ungeschehen.`,
    wayOut: () => NEU_ANZIEHEN,
  },
  'torque-readings-missing': {
    title: 'Drehmomentbestätigung ohne Werte',
    words: (f) =>
      `Die Verschraubung hat ${f.fastenerCount} Schrauben, und kein Wert ist angegeben.`,
    wayOut: () => 'Tragen Sie den Wert jeder Schraube in der Anziehreihenfolge ein.',
  },
  'torque-fastener-unknown': {
    title: 'Die Verschraubung hat keine solche Schraube',
    words: (f) =>
      `Genannt ist Schraube ${f.fastener}; die Verschraubung hat 1 bis ${f.fastenerCount}.`,
    wayOut: () => 'Nummerieren Sie die Schrauben wie in der Zeichnung auf dem Laufzettel.',
  },
  'torque-pass-unknown': {
    title: 'Diesen Durchgang gibt es nicht',
    words: (f) =>
      `Schraube ${f.fastener} hat einen Wert für Durchgang ${f.pass}; Durchgänge zählen 1, 2, 3.`,
    wayOut: () => 'Zählen Sie die Durchgänge ab 1: handfest, halb, voll.',
  },
  'torque-reading-twice': {
    title: 'Zwei Werte für eine Schraube in einem Durchgang',
    words: (f) => `Schraube ${f.fastener} hat in Durchgang ${f.pass} mehr als einen Wert.`,
    wayOut: () =>
      'Geben Sie einem Nachziehen die nächste Durchgangsnummer, oder lassen Sie den falschen Wert weg.',
  },
  'torque-reading-implausible': {
    title: 'Der Drehmomentwert kann nicht stimmen',
    words: (f, m) =>
      `Schraube ${f.fastener}, Durchgang ${f.pass}: ${m.figure(f.value)} ${TORQUE_UNIT_SYMBOLS[f.unit]} sind ${m.torque.of(f.torqueNm)} ${m.torque.unit}, und die Vorgabe endet bei ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}.`,
    wayOut: (f) =>
      f.perhapsUnit === null
        ? `Zeigt das Werkzeug ${TORQUE_UNIT_SYMBOLS[f.unit]}? Lesen Sie noch einmal ab und tragen Sie Wert und Einheit ein, wie es sie zeigt.`
        : `Zeigt das Werkzeug ${TORQUE_UNIT_SYMBOLS[f.perhapsUnit]} statt ${TORQUE_UNIT_SYMBOLS[f.unit]}? Dann liegt der Wert in der Vorgabe: tragen Sie ihn mit dieser Einheit ein.`,
  },
  'torque-band-empty': {
    title: 'Die Vorgabe ist für dieses Werkzeug zu eng',
    words: (f, m) =>
      `Ein Werkzeug mit zulässiger Abweichung von ±${m.figure(f.deviationPercent)} % kann nicht zeigen, dass ein Drehmoment zwischen ${m.torque.of(f.torqueMinNm)} und ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit} liegt.`,
    wayOut: () => 'Nehmen Sie für diese Vorgabe ein Werkzeug mit kleinerer zulässiger Abweichung.',
  },
  'tool-range-too-small': {
    title: 'Das Werkzeug erreicht die Vorgabe nicht',
    words: (f, m) =>
      `${f.tool} misst ${m.torque.of(f.toolMinNm)} bis ${m.torque.of(f.toolMaxNm)} ${m.torque.unit}; die Vorgabe ist ${m.torque.of(f.torqueMinNm)} bis ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}.`,
    wayOut: () => 'Nehmen Sie einen Drehmomentschlüssel, dessen Bereich die ganze Vorgabe abdeckt.',
  },
  'tool-class-not-of-type': {
    title: 'ISO 6789 kennt diese Klasse für diese Bauart nicht',
    words: (f) =>
      `Klasse ${f.toolClass} ist keine Klasse für ${wort(f.type)} Drehmomentwerkzeuge (${f.classes.join(', ')}).`,
    wayOut: () =>
      'Lesen Sie Bauart und Klasse vom Werkzeug oder seinem Zertifikat noch einmal, und berichtigen Sie den Eintrag.',
  },
  'tool-calibration-missing': {
    title: 'Der Drehmomentschlüssel hat keine Kalibrierung',
    words: (f) => `Für ${f.tool} ist zum ${tag(f.on)} keine Kalibrierung aufgezeichnet.`,
    wayOut: () =>
      'Nehmen Sie ein kalibriertes Werkzeug, oder tragen Sie das Zertifikat von diesem ein.',
  },
  'tool-calibration-expired': {
    title: 'Die Kalibrierung des Drehmomentschlüssels ist abgelaufen',
    words: (f) =>
      `${f.tool} wurde am ${tag(f.calibratedOn)} kalibriert und war am ${tag(f.dueOn)} wieder fällig; die Arbeit ist vom ${tag(f.on)}.`,
    wayOut: () => 'Senden Sie das Werkzeug zur Kalibrierung und nehmen Sie inzwischen ein anderes.',
  },
  'tool-found-out-of-tolerance': {
    title: 'Der Drehmomentschlüssel war außerhalb der Toleranz',
    words: (f, m) =>
      `Nach der Kalibrierung vom ${tag(f.calibratedOn)} weicht ${f.tool} um ${m.figure(f.deviationPercent)} % ab; erlaubt sind ±${m.figure(f.permissibleDeviationPercent)} % (ISO 6789-1).`,
    wayOut: () =>
      'Lassen Sie ihn einstellen und neu kalibrieren, und nehmen Sie inzwischen einen anderen. Die Verschraubungen, die er seit der Kalibrierung davor geschlossen hat, sind zweifelhaft: seine Rückverfolgung nennt sie.',
  },
  'tool-calibrated-that-day': {
    title: 'Der Drehmomentschlüssel hat eine Kalibrierung von diesem Tag',
    words: (f) =>
      `${f.tool} wurde am ${tag(f.calibratedOn)} mit Zertifikat ${f.certificate} kalibriert; ein Werkzeug wird an einem Tag einmal kalibriert.`,
    wayOut: () =>
      'Lesen Sie den Tag auf dem Zertifikat noch einmal. Vorgefundener Zustand und Zustand nach dem Einstellen gehören zu einer Kalibrierung.',
  },
  'certificate-already-entered': {
    title: 'Das Zertifikat ist schon eingetragen',
    words: (f) =>
      `Zertifikat ${f.certificate} ist für ${f.tool} eingetragen, vom ${tag(f.calibratedOn)}; ein Zertifikat gilt einer Kalibrierung.`,
    wayOut: () =>
      'Tragen Sie das Zertifikat der neuen Kalibrierung ein, mit seiner eigenen Nummer.',
  },
  'tool-uses-exceeded': {
    title: 'Der Drehmomentschlüssel wurde seit der Kalibrierung zu oft benutzt',
    words: (f) =>
      `${f.tool} hat seit der Kalibrierung ${f.usesSinceCalibration} Anwendungen, und ${f.usesAsked} weitere sind verlangt; erlaubt sind ${f.usesAllowed}.`,
    wayOut: () => 'Senden Sie das Werkzeug zur Kalibrierung und nehmen Sie inzwischen ein anderes.',
  },
  'tool-out-of-service': {
    title: 'Der Drehmomentschlüssel ist außer Gebrauch',
    words: (f) => `${f.tool} ist gesperrt.`,
    wayOut: () => 'Nehmen Sie ein anderes Werkzeug; dieses wartet auf seine Freigabe.',
  },
  'threadlocker-missing': {
    title: 'Die Schraubensicherung ist nicht genannt',
    words: () => 'Die Vorgabe verlangt Schraubensicherung, und keine Charge ist genannt.',
    wayOut: () => 'Tragen Sie Schraubensicherung auf und nennen Sie die Charge auf der Flasche.',
  },
  'threadlocker-wrong-kind': {
    title: 'Die genannte Charge ist keine Schraubensicherung',
    words: (f) => `Charge ${f.lot} ist: ${wort(f.kind)}.`,
    wayOut: () => 'Nennen Sie die Charge auf der Flasche der Schraubensicherung.',
  },
  'threadlocker-expired': {
    title: 'Die Schraubensicherung ist abgelaufen',
    words: (f) =>
      `Schraubensicherung, Charge ${f.lot}, ist am ${tag(f.expiresOn)} abgelaufen; die Arbeit ist vom ${tag(f.on)}.`,
    wayOut: () => 'Reinigen Sie die Gewinde und nehmen Sie eine Charge, die nicht abgelaufen ist.',
  },
  'threadlocker-quarantined': {
    title: 'Die Schraubensicherung ist gesperrt',
    words: (f) => `Schraubensicherung, Charge ${f.lot}, ist gesperrt.`,
    wayOut: () => 'Reinigen Sie die Gewinde und nehmen Sie eine freigegebene Charge.',
  },
  'torque-setting-implausible': {
    title: 'Das Drehmoment kann für diese Schraube nicht stimmen',
    words: (f, m) =>
      `Bei ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit} würde eine Schraube ${f.size} der Klasse ${f.propertyClass} selbst bei K-Faktor ${m.figure(f.nutFactor)} mit etwa ${m.figure(f.clampLoadN, 0)} N klemmen: ${m.figure(f.percentOfLimit, 0)} % ihrer Grenze (${satz(f.loadLimitName)}) von ${m.figure(f.loadLimitN, 0)} N.`,
    wayOut: (f, m) =>
      f.asPoundInchesNm === null
        ? 'Lesen Sie Drehmoment, Einheit, Größe und Klasse noch einmal vom Datenblatt des Herstellers.'
        : `Wurden Pound-Inch als ${TORQUE_UNIT_SYMBOLS[f.typedIn]} eingegeben? In lbf·in endet die Vorgabe bei ${m.torque.of(f.asPoundInchesNm)} ${m.torque.unit}, und das trägt diese Schraube. Sonst lesen Sie Größe und Klasse noch einmal vom Datenblatt des Herstellers.`,
  },
  'torque-setting-near-limit': {
    title: 'Bei wenig Reibung kann dieses Drehmoment die Schraube dehnen',
    words: (f, m) =>
      `Bei ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit} und K-Faktor ${m.figure(f.nutFactor)} würde eine Schraube ${f.size} der Klasse ${f.propertyClass} mit etwa ${m.figure(f.clampLoadN, 0)} N klemmen: ${m.figure(f.percentOfLimit, 0)} % ihrer Grenze (${satz(f.loadLimitName)}) von ${m.figure(f.loadLimitN, 0)} N.`,
    wayOut: () =>
      'Lesen Sie Drehmoment, Größe und Klasse noch einmal vom Datenblatt des Herstellers; halten Sie Gewinde trocken, wo es trockene verlangt, und fetten Sie sie nicht.',
  },
  'torque-setting-upside-down': {
    title: 'Das Drehmoment ergibt keinen Sinn',
    words: (f, m) =>
      `Die Vorgabe reicht von ${m.torque.of(f.torqueMinNm)} bis ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}; beide müssen über null liegen, und der erste nicht über dem zweiten.`,
    wayOut: () =>
      'Tragen Sie das kleinste und das größte Drehmoment vom Datenblatt des Herstellers ein, in dieser Reihenfolge.',
  },
};
