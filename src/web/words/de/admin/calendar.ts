/** The working calendar, in German. */
import type { Words } from '../../en.ts';

export const calendar: Words['admin']['calendar'] = {
  offered: 'Heute angeboten',
  offeredHelp:
    'Der Tag, der einem jetzt eröffneten Auftrag im geltenden Kalender angeboten würde: der erste mit der gewünschten Wahrscheinlichkeit, oder nach den üblichen Tagen, wo es zu wenig abgeschlossene Aufträge gibt.',
  offeredDay: (day) => `Einem jetzt eröffneten Auftrag würde angeboten: ${day}.`,
  usualDays: 'Die üblichen Tage jedes Schritts stehen in den Einstellungen der Werkstatt.',
  hours: 'Öffnungszeiten',
  hoursHelp:
    'Etwa 8:00-12:00, 13:00-17:00. Leer: geschlossen. In diesen Zeiten zählen Arbeitstage und sind Arbeitsplätze besetzt. Geänderte Zeiten zählen auch für Aufträge in Arbeit.',
  hoursUnread: 'Schreiben Sie Zeiten wie 8:00-12:00, 13:00-17:00, oder lassen Sie das Feld leer.',
  closed: 'geschlossen',
  closedDays: 'Geschlossene Tage',
  closedDaysHelp:
    'Feiertage, Inventur, der Betriebsausflug. Vergangene bleiben stehen: die Arbeitstage abgeschlossener Aufträge zählen im selben Kalender.',
  day: 'Tag',
  why: 'Warum',
  addDay: 'Tag hinzufügen',
  addFirst:
    'Dieser Tag ist noch nicht in der Liste: fügen Sie ihn hinzu, oder leeren Sie das Feld.',
  closedAlready: 'Dieser Tag ist in der Liste.',
  takeOut: 'Herausnehmen',
  takeOutOf: (day) => `${day} herausnehmen`,
  pastDays: (count) => (count === 1 ? 'Ein vergangener Tag' : `${count} vergangene Tage`),
  write: 'Nächste Fassung schreiben',
  written: (version) =>
    `Fassung ${version} des Kalenders gilt. Angebotene Tage werden von jetzt an darin gezählt.`,
  racedWayOut:
    'Was die andere Person geändert hat, steht jetzt in Ihrer Liste, neben Ihrer Eingabe. Sehen Sie beides an, und schreiben Sie noch einmal.',
  whatChanges: (version) => `Was sich gegenüber Fassung ${version} ändert`,
  hoursChanged: (weekday, was, is) => `${weekday}: ${is}; war ${was}.`,
  closedAdded: (day, why) => `Geschlossen am ${day}: ${why}.`,
  closedTakenOut: (day, why) => `Offen am ${day}: ${why} entfällt.`,
};
