/** The texts of what is kept on the phone while the network is away, in German. */
import type { Words } from '../en.ts';

export const offline: Words['offline'] = {
  title: 'Auf diesem Telefon aufbewahrt',
  kept: (count) => `${count} auf diesem Telefon aufbewahrt`,
  none: 'Auf diesem Telefon wartet nichts.',
  noNetwork: 'Kein Netz: was an der Werkbank eingegeben wird, bewahrt dieses Telefon auf.',
  asOf: (instant) => `Stand ${instant}, ohne Netz.`,
  notYet: 'auf diesem Telefon aufbewahrt, noch nicht aufgezeichnet',
  notRecord: 'Was hier aufbewahrt wird, ist noch nicht aufgezeichnet.',
  signing:
    'Kein Netz: eine Unterschrift braucht es. Was Sie eingegeben haben, bleibt; unterschreiben Sie, wenn es wieder da ist.',
  notKept:
    'Der Dienst ist nicht erreichbar, und dieses Telefon kann den Eintrag nicht aufbewahren. Lassen Sie diese Seite offen, und versuchen Sie es noch einmal.',
  cannotKeep:
    'Dieses Telefon kann keine Einträge aufbewahren: sein Speicher ist voll oder gesperrt. Was Sie aufzeichnen, braucht das Netz.',
  unreadable: (count) =>
    count === 1
      ? '1 aufbewahrter Eintrag lässt sich auf diesem Telefon nicht lesen. Sagen Sie es der Administration; löschen Sie nichts.'
      : `${count} aufbewahrte Einträge lassen sich auf diesem Telefon nicht lesen. Sagen Sie es der Administration; löschen Sie nichts.`,
  ofOthers: (count) =>
    count === 1
      ? '1 Eintrag einer anderen Person wartet auf diesem Telefon. Er wird gesendet, wenn sie sich hier anmeldet.'
      : `${count} Einträge einer anderen Person warten auf diesem Telefon. Sie werden gesendet, wenn sie sich hier anmeldet.`,
  states: {
    waiting: 'Wartet auf das Netz und wird dann von selbst gesendet.',
    sending: 'Wird gesendet.',
    behind: (act) => `Wartet hinter „${act}“; dort werden Sie gebraucht.`,
    signIn: 'Wartet, bis Sie sich anmelden.',
    refused: 'BRAUCHT SIE: der Dienst hat es nicht angenommen.',
    again: 'Sie machen es noch einmal: was Sie dort aufzeichnen, tritt an seine Stelle.',
    aside: 'Von Ihnen beiseitegelegt.',
    onRecord: 'Aufgezeichnet.',
    doneAgain: 'Noch einmal gemacht.',
  },
  needsYou: 'braucht Sie',
  recordedAt: 'Eingegeben',
  about: 'Schaft',
  why: 'Ihr Grund',
  against: 'Was dagegen steht',
  what: 'Was eingegeben wurde',
  again: 'Noch einmal machen',
  openPage: 'Seine Seite öffnen',
  setAside: 'Beiseitelegen',
  setAsideAct: 'Mit diesem Grund beiseitelegen',
  setAsideWhy: 'Warum es nicht aufgezeichnet werden soll',
  setAsideMissing: 'Sagen Sie, warum.',
  setAsideTold: 'Soll die Aufzeichnung davon wissen?',
  setAsideHow: { finding: 'Ja, als Befund zum Schaft', no: 'Nein' },
  findingNote: (act, recorded, against, why) =>
    `Am Telefon eingegeben am ${recorded} und nicht in die Aufzeichnung übernommen: ${act}. Abgelehnt, weil: ${against} Beiseitegelegt, weil: ${why}`,
  findingOf: (act) => `Befund zu: ${act}`,
  dismiss: 'Von dieser Liste nehmen',
  sentLately: 'Zuletzt von diesem Telefon gesendet',
  leaving: 'Abmelden, obwohl auf diesem Telefon noch Einträge warten?',
  leavingMore: (count) =>
    count === 1
      ? '1 Eintrag ist noch nicht aufgezeichnet. Er bleibt auf diesem Telefon und wird gesendet, wenn Sie sich hier wieder anmelden. Niemand sonst sieht oder sendet ihn.'
      : `${count} Einträge sind noch nicht aufgezeichnet. Sie bleiben auf diesem Telefon und werden gesendet, wenn Sie sich hier wieder anmelden. Niemand sonst sieht oder sendet sie.`,
  leave: 'Trotzdem abmelden',
  stay: 'Bleiben',
  cup: (pour, time) => `Becher ${pour}: noch ${time}`,
  cupSet: (pour) => `Becher ${pour}: FEST`,
  done: 'erledigt',
};
