/** The set-up, in German: what its pages share; each subject beside it. */
import type { Words } from '../en.ts';
import { calendar } from './admin/calendar.ts';
import { batches, drafts, fabrics, pieces, resins } from './admin/catalogue.ts';
import { clinic } from './admin/clinic.ts';
import { parts } from './admin/parts.ts';
import { people } from './admin/people.ts';
import { routes } from './admin/routes.ts';
import { rules } from './admin/rules.ts';
import { shop } from './admin/shop.ts';

export const admin: Words['admin'] = {
  setupSays:
    'Wonach die Werkstatt arbeitet. Nichts wird hier überschrieben: eine Änderung bleibt mit Namen und Zeit erhalten, und was vorher getan wurde, bleibt, wie es getan wurde.',
  groups: {
    who: 'Die Werkstatt und ihre Leute',
    what: 'Was in eine Prothese kommt',
    shop: 'Ausstattung',
    how: 'Wie die Arbeit geht',
  },
  entries: {
    people: { title: 'Personen und Rollen', says: 'Wer sich anmeldet und was sie oder er darf.' },
    clinic: {
      title: 'Einstellungen der Werkstatt',
      says: 'Name, Zeitzone und Papier; Toleranzen, Grenzen und Zuschläge; Geld; wie lange Aufzeichnungen bleiben.',
    },
    organisation: {
      title: 'Anmeldung über die Organisation',
      says: 'Der Anbieter, über den sich die Leute mit dem Konto ihrer Organisation anmelden können.',
    },
    parts: {
      title: 'Passteile',
      says: 'Arretierungen, Platten, Pyramiden, Pins, Schrauben: was jedes trägt, und das Drehmoment mit der Unterlage, aus der es stammt.',
    },
    drafts: {
      title: 'Eingelesene Etiketten ohne Passteil',
      says: 'Produkte, die an der Werkbank eingelesen wurden und die der Katalog nicht kennt.',
    },
    fabrics: {
      title: 'Gewebe',
      says: 'Trikotschlauch, Flechtschlauch, Carbon und Glas, wie ihre Datenblätter sie angeben.',
    },
    resins: {
      title: 'Harzsysteme',
      says: 'Verhältnis, Topfzeit, größte Becherfüllung und Aushärtung, wie das Datenblatt des Herstellers sie angibt.',
    },
    batches: {
      title: 'Chargen',
      says: 'Harz, Gewebe, Schraubensicherung und dergleichen: was noch da ist und was es kostet.',
    },
    tools: {
      title: 'Werkzeuge',
      says: 'Dummys, Laminierplatten, Drehmomentschlüssel und ihre Kalibrierungen.',
    },
    bins: { title: 'Lagerfächer', says: 'Wo Passteile und Werkzeuge liegen.' },
    benches: {
      title: 'Arbeitsplätze',
      says: 'Wo gearbeitet wird, und wie viele Menschen dort arbeiten.',
    },
    calendar: {
      title: 'Arbeitskalender',
      says: 'Öffnungszeiten und geschlossene Tage: nach ihnen werden zugesagte Tage gezählt.',
    },
    labels: {
      title: 'Etiketten',
      says: 'Wie groß die Etiketten von Schäften, Modellen und Lagerfächern sind.',
    },
    routes: {
      title: 'Arbeitspläne',
      says: 'Die Arbeitsgänge jeder Art Schaft, mit Prüfpunkten, Grenzen und Warnhinweisen.',
    },
    'layup-rules': {
      title: 'Armierungsregeln',
      says: 'Welche Lagen für wen vorgeschlagen werden.',
    },
  },
  draftsWait: (count) =>
    count === 1
      ? 'Ein Etikett wartet auf die Administration.'
      : `${count} Etiketten warten auf die Administration.`,
  more: 'Mehr zeigen',
  none: 'Noch steht nichts im Buch.',
  save: 'Änderungen sichern',
  putBack: 'Zurück auf den Stand im Buch',
  saved: (fields) => `Gesichert: ${fields}.`,
  nothingTouched: 'Nichts wurde geändert: alles steht schon so im Buch.',
  standing: 'Im Katalog',
  inUse: 'in Gebrauch',
  withdrawn: 'herausgenommen',
  withdraw: 'Herausnehmen',
  withdrawHelp:
    'Herausgenommen, wird es für keine neue Arbeit mehr angeboten. Was damit gefertigt wurde, und jede Aufzeichnung, die es nennt, bleibt. Es kann wieder in Gebrauch genommen werden.',
  takeBack: 'Wieder in Gebrauch nehmen',
  takeBackHelp: 'Von jetzt an kann es wieder gewählt werden.',
  wasWithdrawn: (name) => `${name} ist herausgenommen.`,
  wasTakenBack: (name) => `${name} ist wieder in Gebrauch.`,
  usually: (usual) => `Üblich: ${usual}.`,
  // Two at once
  raced: 'Jemand anderes hat das geändert, während Sie eingegeben haben.',
  wrote: (field, was, is) => `${field}: war ${was} und ist jetzt ${is}.`,
  racedWayOut:
    'Ihre Eingabe steht noch in den Feldern, und daneben, was jetzt im Buch steht. Lassen Sie Ihren Wert und sichern Sie noch einmal, oder geben Sie den anderen ein.',
  inTheBook: (value) => `Jetzt im Buch: ${value}. Ihre Eingabe ist noch nicht gesichert.`,
  // Versions
  versionNow: (version) => `Der Eintrag ist bei Fassung ${version}.`,
  versions: 'Fassungen',
  versionsHelp:
    'Eine Fassung wird nie bearbeitet: eine Änderung ist die nächste Fassung. Frühere bleiben erhalten, und was nach einer von ihnen begonnen wurde, behält sie.',
  versionBy: (version, who) => `Fassung ${version}, ${who}`,
  atFounding: 'Anfangswerte einer neuen Werkstatt',
  inForce: 'gilt',
  nothingDiffers: 'Nichts.',
  weekdays: ['Montag', 'Dienstag', 'Mittwoch', 'Donnerstag', 'Freitag', 'Samstag', 'Sonntag'],
  batchKinds: {
    resin: 'Harz',
    hardener: 'Härter',
    pigment: 'Farbpaste',
    fabric: 'Gewebe',
    threadlocker: 'Schraubensicherung',
    parting_agent: 'Trennmittel',
    thermoplastic_sheet: 'Thermoplastplatte',
    casting_material: 'Abformmaterial',
  },
  people,
  clinic,
  parts,
  pieces,
  drafts,
  fabrics,
  resins,
  batches,
  ...shop,
  routes,
  rules,
  calendar,
};
