/** The texts of live updates and of long work, in German. */
import type { Words } from '../en.ts';
import { viele, zahl } from './zahl.ts';

export const work: Words['work'] = {
  live: {
    lost: 'Nicht aktuell: was andere tun, wird gerade nicht gezeigt. Der Dienst wird gesucht …',
    resting:
      'Ruht: diese Seite wurde eine Weile nicht benutzt. Berühren Sie sie, und sie ist wieder aktuell.',
    heldBack:
      'Andere haben hier etwas geändert. Es wartet, damit nicht verloren geht, was Sie eingegeben haben.',
    show: 'Jetzt zeigen',
    changedSince: 'Seit dieser Frage wurde etwas aufgezeichnet.',
    askAgain: 'Neu fragen',
  },
  intro:
    'Was länger dauert. Es läuft weiter, wenn Sie diese Seite verlassen; das Ergebnis finden Sie hier.',
  askFor: 'Verlangen',
  kinds: {
    recall_of_many: 'Rückruf vieler Lose',
    record_export: 'Ausfuhr der Aufzeichnung',
    parts_import: 'Passteile aus einer Datei',
    patient_export: 'Ganze Akte einer Person',
  },
  asked: 'Verlangt',
  none: 'Noch wurde nichts verlangt.',
  older: 'Ältere',
  askedBy: (name, when) => `verlangt von ${name}, ${when}`,
  // The recall of many
  listOf: 'Die Liste nennt',
  lists: { lot: 'Lose von Passteilen', batch: 'Chargen von Harz, Gewebe und dergleichen' },
  list: 'Die Lose oder Chargen',
  listHint: 'Je Zeile eines, wie im Schreiben des Herstellers. Höchstens 500.',
  askRecalls: 'Alle abfragen',
  manyAtOnce: 'Viele Lose auf einmal',
  entries: (count) => viele(count, 'Eintrag', 'Einträge'),
  // The export
  exportIntro:
    'Jede Zeile der Aufzeichnung und jedes Ereignis, mit den Werten, die sie verketten, je Zeile ein JSON-Wert. Patientinnen und Patienten stehen darin mit der Patientennummer, ohne Namen, Geburtsdatum, Telefon oder Adresse.',
  orderNumber: 'Auftragsnummer',
  orderNumberHint: 'Leer gelassen: die ganze Werkstatt.',
  askExport: 'Ausführen',
  wholeClinic: 'der ganzen Werkstatt',
  savePaper: 'Als PDF speichern, zum Lesen',
  ofPatient: (chartNumber) => `von ${chartNumber}`,
  ofOrder: (number) => `von Auftrag ${number}`,
  // The import
  file: 'CSV-Datei mit Passteilen',
  fileHint:
    'Die erste Zeile nennt die Spalten wie der Katalog: kind, catalogueNumber, name, ratedBodyMassKg und so weiter. Höchstens 2000 Passteile.',
  then: 'Was zu tun ist',
  thens: {
    look: 'jede Zeile nur prüfen',
    enter: 'alle eintragen, wenn in keiner Zeile etwas nicht stimmt',
  },
  lookAtParts: 'Datei prüfen',
  enterParts: 'Passteile eintragen',
  linesToLookAt: (count) => `${viele(count, 'Zeile', 'Zeilen')}, zu prüfen`,
  linesToEnter: (count) => `${viele(count, 'Zeile', 'Zeilen')}, einzutragen`,
  // How far
  states: {
    waiting: 'wartet, bis es an der Reihe ist',
    running: 'läuft',
    done: 'fertig',
    cancelled: 'abgebrochen',
    failed: 'fehlgeschlagen',
  },
  howFar: 'Wie weit es ist',
  soFar: (done, total) => `${zahl(done)} von ${zahl(total)}`,
  cancel: 'Abbrechen',
  cancelling: 'wird abgebrochen …',
  save: {
    recall_of_many: 'Als CSV sichern',
    record_export: 'Ausfuhr sichern',
    parts_import: 'Ergebnis sichern',
    patient_export: 'Als Datei speichern',
  },
  figures: {
    answered: 'gefunden',
    notAnswered: 'nicht gefunden',
    wearerLines: 'in den Listen der Trägerinnen und Träger',
    inWork: 'Schäfte in Arbeit',
    inRetired: 'Schäfte außer Gebrauch',
    notReconciled: 'Bestände, die nicht aufgehen',
    rows: 'Zeilen',
    events: 'Ereignisse',
    upToEvent: 'bis Ereignis',
    lines: 'Zeilen',
    wrong: 'Zeilen mit Fehlern',
    entered: 'eingetragene Passteile',
  },
};
