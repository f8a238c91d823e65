/** The settings of a clinic, in German: what each does, and where its value comes from. */
import type { Words } from '../../en.ts';

const STARTING = 'Anfangswert; übliche Praxis, ohne Quelle.';

export const clinic: Words['admin']['clinic'] = {
  prefix: 'Auftragsnummern beginnen mit',
  says: 'Was hier eingestellt wird, gilt von jetzt an. Was vorher gerechnet, zugesagt oder unterschrieben wurde, bleibt, wie es war.',
  sections: {
    house: 'Das Haus',
    delivery: 'Abgabe und danach',
    limb: 'Veränderung des Stumpfs',
    resin: 'Gießharz',
    dates: 'Termine',
    shelf: 'Das Lager',
    money: 'Geld',
    people: 'Zahlen über Menschen',
    signIn: 'Anmelden',
  },
  datesHelp:
    'Ein zugesagter Tag ergibt sich daraus, wie lange die abgeschlossenen Aufträge der Werkstatt gedauert haben; solange es keine zwanzig sind, aus den üblichen Tagen, die hier stehen. Beides zählt im Arbeitskalender.',
  labourIn: (currency) => `Arbeitsstunde, ${currency}`,
  secondFactorFor: {
    nobody: 'niemandem; wer will, kann ihn hinzufügen',
    administrators_and_signers: 'Administration und OT-Meistern, die unterschreiben',
    everybody: 'allen',
  },
  ply: { mL: 'Milliliter', percent: 'Prozent des Stumpfs' },
  settings: {
    name: {
      label: 'Name der Werkstatt',
      help: 'Steht auf Laufzetteln, Abgabeprotokollen und Berichten.',
    },
    timeZone: {
      label: 'Zeitzone',
      help: 'Tage und Zeiten werden in ihr gezeigt, und nach ihr wechselt der Tag. Ein Ort der IANA-Zeitzonendatenbank. Aufgezeichnet wird in UTC.',
    },
    paper: {
      label: 'Papier',
      help: 'Wofür Laufzettel, Etiketten und Berichte gesetzt werden: A4 (ISO 216) oder US Letter.',
    },
    retentionYears: {
      label: 'Aufbewahrung der Aufzeichnungen, Jahre',
      help: 'Mindestens sieben Jahre ab der Abgabe (42 CFR 424.516(f)); Ihr Recht oder Ihr Kostenträger kann mehr verlangen. Von selbst wird nichts gelöscht.',
    },
    minorsUntilAge: {
      label: 'Akten Minderjähriger: bis zu diesem Alter und die Jahre danach',
      help: 'Übliche Praxis, von Ort zu Ort verschieden; das örtliche Recht bestimmt. Leer: kein Unterschied.',
    },
    alignmentToleranceDeg: {
      label: 'Toleranz des Aufbaus, Grad',
      help: `Wie weit die fertige Prothese im Winkel vom angenommenen Aufbau abweichen darf, bevor die OT-Meisterin oder der OT-Meister für die Abweichung unterschreiben muss. ${STARTING}`,
      usual: '1',
    },
    alignmentToleranceMm: {
      label: 'Toleranz des Aufbaus, mm',
      help: `Dasselbe für den Versatz. ${STARTING}`,
      usual: '3',
    },
    releaserMayBeSoleWorker: {
      label: 'Wer eine Prothese freigibt, darf allein an der Werkbank gearbeitet haben',
      help: 'Üblich ist ein zweites Paar Augen, bevor eine Prothese das Haus verlässt. Wer allein arbeitet, kann das nicht; dann steht es in jeder Aufzeichnung.',
    },
    firstRecheckDays: {
      label: 'Erstes Nachprüfen der Verschraubungen, Tage nach der Abgabe',
      help: `Schrauben setzen sich in den ersten Wochen. Danach zählt das Serviceintervall jedes Passteils. ${STARTING}`,
      usual: '7 bis 30',
    },
    plyMeans: {
      label: 'Eine Strumpflage gleicht aus',
      help: 'Ob Ihre Werkstatt eine Lage in Millilitern oder als Anteil am Volumen des Stumpfs denkt.',
    },
    perPly: {
      label: 'Eine Strumpflage, in dieser Einheit',
      help: `Stumpfstrümpfe unterscheiden sich nach Hersteller und Abnutzung: vergleichen Sie mit dem, was Ihre Anproben zeigen. ${STARTING}`,
      usual: '10 bis 40 ml, oder 0,5 bis 2 Prozent',
    },
    volumeLimitPercent: {
      label: 'Volumenänderung, die einen Entscheid verlangt, Prozent',
      help: `Hat sich ein Stumpf seit dem Abdruck stärker verändert, wird die OT-Meisterin oder der OT-Meister gefragt, ob ein neuer Abdruck fällig ist. ${STARTING}`,
      usual: '3 bis 10',
    },
    bagLossG: {
      label: 'Harz, das in Folie, Schlauch und Becher bleibt, g',
      help: `Kommt zu jedem Ansatz dazu. Wiegen Sie Ihre Folie nach dem Laminieren, und tragen Sie das ein. ${STARTING}`,
      usual: '30 bis 100',
    },
    resinMarginPercent: {
      label: 'Zuschlag auf jeden Ansatz, Prozent',
      help: `Damit der Schaft am Rand nicht trocken bleibt. ${STARTING}`,
      usual: '5 bis 15',
    },
    scaleResolutionG: {
      label: 'Schritt der Waage, g',
      help: 'Wofür die letzte Ziffer der Anzeige steht. Ansätze werden darauf gerundet.',
      usual: '0,1 oder 1',
    },
    wantedChance: {
      label: 'Wahrscheinlichkeit, ab der ein Tag angeboten wird',
      help: `Als Bruchteil: 0,8 ist ein Tag, den vier von fünf Aufträgen wie dieser halten. ${STARTING}`,
      usual: '0,7 bis 0,9, ein Bruchteil und nicht Prozent',
    },
    atRiskBelow: {
      label: 'Wahrscheinlichkeit, unter der ein Tag gefährdet ist',
      help: `Wird eher verfehlt als gehalten: solche Aufträge stehen in der Liste der überfälligen und gefährdeten. ${STARTING}`,
      usual: '0,3 bis 0,7, ein Bruchteil und nicht Prozent',
    },
    usualCastingDays: {
      label: 'Übliche Arbeitstage: Abdruck',
      help: `Vom eröffneten Auftrag bis zu angenommenem Abdruck und Modell. ${STARTING}`,
      usual: '1 bis 15',
    },
    usualCheckFittingDays: {
      label: 'Übliche Arbeitstage: Anprobe',
      help: `Vom Modell bis zur angenommenen Passform, mit allen Testschäften. ${STARTING}`,
      usual: '1 bis 15',
    },
    usualLaminationDays: {
      label: 'Übliche Arbeitstage: Laminieren',
      help: `Von der angenommenen Passform bis zum fertigen Definitivschaft. ${STARTING}`,
      usual: '1 bis 15',
    },
    usualDeliveryDays: {
      label: 'Übliche Arbeitstage: Abgabe',
      help: `Vom fertigen Schaft bis zur abgegebenen Prothese. ${STARTING}`,
      usual: '1 bis 15',
    },
    reorderWindowDays: {
      label: 'Zeitraum für den Verbrauch, Tage',
      help: `Was in diesen Tagen verbraucht wurde, sagt, wie schnell ein Lagerfach leer wird. ${STARTING}`,
      usual: '90',
    },
    reorderLeadDays: {
      label: 'Von der Bestellung bis ins Lager, Tage',
      help: `Wie lange Ihre Lieferanten brauchen. ${STARTING}`,
      usual: '7 bis 30',
    },
    reorderCoverDays: {
      label: 'Reichweite einer Bestellung, Tage',
      help: `Länger heißt: weniger Bestellungen, und mehr, was abläuft. ${STARTING}`,
      usual: '30 bis 90',
    },
    currency: {
      label: 'Währung',
      help: 'Nach ISO 4217. Sie bleibt, solange ein Preis oder Stundensatz in ihr steht: ein Betrag hieße sonst eine andere Summe.',
    },
    labourRatePerHourMinor: {
      label: 'Arbeitsstunde',
      help: 'In der Währung, etwa 65,00. Leer gelassen, werden die Kosten eines Schafts ohne Arbeit genannt. Technikerinnen und Techniker sehen sie nicht.',
    },
    secondFactorFor: {
      label: 'Ein zweiter Faktor wird verlangt von',
      help: 'Ein Code einer Authentifizierungs-App neben dem Passwort. Wer ihn haben muss und nicht hat, kann ab der nächsten Erneuerung der Anmeldung nichts anderes, als ihn hinzuzufügen; wer unterschreibt, braucht sofort eine Anmeldung mit ihm.',
    },
    benchLockMinutes: {
      label: 'Ein Werkbankgerät sperrt sich von selbst nach, Minuten',
      help: `Gezählt ab der letzten Berührung, auf Geräten, auf denen jemand eine PIN gesetzt hat. ${STARTING}`,
      usual: '5 bis 15',
    },
    pinHours: {
      label: 'Eine PIN gilt, Stunden ab der Anmeldung',
      help: `Danach wird wieder das Passwort verlangt. Höchstens 24. ${STARTING}`,
      usual: '8 bis 12',
    },
    figuresByPerson: {
      label: 'Qualitätszahlen dürfen nach Techniker/in getrennt werden',
      help: 'Von drei Fällen lässt sich über niemanden viel sagen. Wo Recht oder Vereinbarung es verlangen, lassen Sie das weg.',
    },
  },
};
