/** The texts of looking patients up and of opening fields for a reason, in German. */
import type { Words } from '../en.ts';

export const looks: Words['looks'] = {
  // Who looked
  title: 'Wer hier nachgesehen hat',
  intro:
    'Jede Seite, Suche, jedes Papier und jeder Verlauf, worin diese Person zu sehen war, das Neueste zuerst; dasselbe innerhalb einer Viertelstunde zählt einmal. Die Listen der Tagesarbeit stehen nicht hier.',
  show: 'Zeigen, wer nachgesehen hat',
  from: 'Von wo',
  shown: 'Gezeigt',
  shownWords: {
    bench: 'Patientennummer und Initialen',
    identity: 'Name und Geburtsdatum',
    contact: 'Name, Telefon und Anschrift, soweit die Rolle sie sieht',
  },
  routes: {
    readPatient: 'Seite der Person',
    listBodyMasses: 'Körpergewichte',
    searchPatients: 'Personensuche',
    findLookAlikes: 'Ähnliche bei einer Neuaufnahme',
    search: 'Suche',
    findThings: 'Suche der Rückverfolgung',
    readOrder: 'Seite eines Auftrags',
    readOrderByNumber: 'Auftrag nach Nummer',
    listOrders: 'Aufträge einer Person',
    printDeliveryRecord: 'Abgabeprotokoll',
    printWearerSheet: 'Blatt für die Trägerin oder den Träger',
    readHistory: 'Verlauf',
    readTrace: 'Rückverfolgung',
    readRecall: 'Rückrufliste',
    openMore: 'mit Begründung freigegeben',
    readPatientRights: 'Rechte an der Akte',
    readLongWorkResult: 'eigene Akte des Patienten als Datei',
    readPatientRecord: 'eigene Akte des Patienten',
    readPatientRecordPaper: 'eigene Akte des Patienten auf Papier',
    listPatientLooks: 'diese Liste',
  },
  none: 'Niemand.',
  soFar: (count) => `Bisher ${count}; es gibt frühere.`,
  all: (count) => (count === 1 ? 'Einmal; mehr nicht.' : `${count} Mal; mehr nicht.`),
  csv: 'Als CSV sichern, für die Person, die danach fragt',

  // Opening more
  open: 'Mehr über diese Person freigeben',
  before: (fields) =>
    `Eine halbe Stunde lang sehen nur Sie von dieser Person: ${fields}. Ihr Name und Ihr Grund werden aufgezeichnet, und jemand anderes prüft es. Höchstens fünfmal in einer Stunde.`,
  fields: {
    givenName: 'Vorname',
    familyName: 'Familienname',
    birthDate: 'Geburtsdatum',
    phone: 'Telefon',
  },
  reason: 'Warum',
  reasons: {
    label_unreadable: 'Etikett oder Laufzettel ist nicht zu lesen',
    emergency: 'der Person droht Schaden',
    recall_call: 'ein Rückruf ist mitzuteilen, und vom Empfang ist niemand da',
    mixed_up: 'Arbeiten zweier Personen könnten vertauscht sein',
  },
  inWords: 'Was geschehen ist',
  inWordsHint: 'In eigenen Worten, für die Prüfung.',
  openAct: 'Für eine halbe Stunde freigeben',
  noPhone: 'keines erfasst',
  openUntil: (time) => `Für Sie freigegeben bis ${time}.`,

  // Review
  reviewIntro:
    'Was über die Rolle hinaus freigegeben wurde, von wem und warum. Jemand anderes sagt, ob das in Ordnung war.',
  which: 'Welche',
  whichOnes: { no: 'noch nicht geprüfte', yes: 'geprüfte' },
  noOpenings: 'Es gibt keine.',
  opened: 'Freigegeben',
  ofPatient: 'Patient/in',
  review: 'Prüfung',
  reviewOf: (chart) => `Freigabe zu ${chart} prüfen`,
  verdicts: { yes: 'in Ordnung', no: 'nicht in Ordnung' },
  verdict: 'Ihr Befund',
  reviewWords: 'Bemerkung',
  reviewWordsHint: 'Nötig, wenn es nicht in Ordnung war.',
  reviewAct: 'Prüfung festhalten',
  reviewed: (by, when, verdict) => `${verdict}: ${by}, ${when}`,
  older: 'Frühere',
};
