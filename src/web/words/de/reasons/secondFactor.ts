import type { SECOND_FACTOR_REASONS } from '../../../../domain/reasons/secondFactor.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';

/** Refusals about the second factor and the short PIN, in German. */
export const SECOND_FACTOR: ReasonWords<typeof SECOND_FACTOR_REASONS> = {
  'second-factor-asked': {
    title: 'Der zweite Faktor wird verlangt',
    words: () =>
      'Diese Person meldet sich auch mit einem Code an; das Passwort allein genügt nicht.',
    wayOut: () =>
      'Geben Sie den Code ein, den Ihre Authentifizierungs-App jetzt zeigt, oder einen Ihrer Wiederherstellungscodes.',
  },
  'second-factor-wrong': {
    title: 'Der Code ist falsch',
    words: () =>
      'Dieser Code gilt nicht: Er gehört zu etwas anderem, ist zu alt oder wurde schon benutzt.',
    wayOut: () =>
      'Warten Sie auf den nächsten Code Ihrer App und geben Sie diesen ein. Falsche zählen als Fehlversuche der Anmeldung. Geht die Uhr des Telefons falsch, stellen Sie sie nach dem Netz.',
  },
  'code-not-verified': {
    title: 'Der Code ist nicht bestätigt',
    words: () =>
      'Dieser Code gilt nicht: Er gehört zu etwas anderem, ist zu alt oder wurde schon benutzt.',
    wayOut: () =>
      'Warten Sie auf den nächsten Code Ihrer App und geben Sie diesen ein. Falsche zählen als Fehlversuche der Anmeldung.',
  },
  'second-factor-required': {
    title: 'Ihre Klinik verlangt von Ihnen einen zweiten Faktor',
    words: () =>
      'Bis Sie einen zweiten Faktor hinzugefügt haben, kann diese Anmeldung nichts anderes: Ihre Klinik verlangt ihn von Personen mit Ihren Rollen.',
    wayOut: () => 'Fügen Sie ihn mit einer Authentifizierungs-App hinzu; danach geht es weiter.',
  },
  'second-factor-there': {
    title: 'Sie haben schon einen zweiten Faktor',
    words: () => 'Für Sie wurde schon ein zweiter Faktor hinzugefügt; niemand hat zwei.',
    wayOut: () => 'Schalten Sie ihn zuerst ab, mit Passwort und Code.',
  },
  'second-factor-missing': {
    title: 'Es gibt keinen zweiten Faktor',
    words: () => 'Diese Person hat keinen zweiten Faktor, der sich ändern ließe.',
    wayOut: () => 'Sehen Sie in den Einstellungen nach; dort lässt er sich hinzufügen.',
  },
  'second-factor-not-begun': {
    title: 'Es wird kein zweiter Faktor hinzugefügt',
    words: (f) =>
      `Es wurde nichts begonnen, das dieser Code bestätigen könnte, oder vor mehr als ${f.minutes} Minuten.`,
    wayOut: () => 'Beginnen Sie von vorn: Lesen Sie den neuen Code in Ihre App ein.',
  },
  'own-second-factor-not-reset': {
    title: 'Niemand setzt den eigenen zweiten Faktor zurück',
    words: () => 'Ein Zurücksetzen braucht keinen Code, darum ist es Sache einer anderen Person.',
    wayOut: () =>
      'Schalten Sie Ihren mit Passwort und Code ab, auch mit einem Wiederherstellungscode; oder fragen Sie eine andere Administratorin oder einen anderen Administrator.',
  },
  'shown-once': {
    title: 'Das wurde einmal gezeigt',
    words: () =>
      'Diese Anfrage wurde schon erledigt. Was sie zeigte, ist nirgends aufbewahrt, um es wieder zu zeigen.',
    wayOut: () => 'Haben Sie es nicht gesehen, beginnen Sie von vorn.',
  },
  'signing-needs-second-factor': {
    title: 'Unterschreiben braucht eine Anmeldung mit zweitem Faktor',
    words: () =>
      'Ihre Klinik verlangt von Unterzeichnenden einen zweiten Faktor, und diese Anmeldung begann ohne ihn. Nichts wurde unterschrieben.',
    wayOut: () =>
      'Melden Sie sich ab und mit Passwort und Code wieder an; unterschreiben Sie dann.',
  },
  'signing-not-by-pin': {
    title: 'Nach dem Entsperren mit PIN unterschreibt niemand',
    words: () =>
      'Eine Unterschrift braucht eine volle Anmeldung der Person, die unterschreibt. Nichts wurde unterschrieben.',
    wayOut: () =>
      'Sperren Sie die Werkbank, melden Sie sich mit Ihrem Passwort an und unterschreiben Sie dann.',
  },
  'session-not-the-signers': {
    title: 'Diese Anmeldung gehört nicht der unterschreibenden Person',
    words: () =>
      'Unterschrieben wird in einer offenen Anmeldung genau der Person, die unterschreibt. Nichts wurde unterschrieben.',
    wayOut: () => 'Melden Sie sich selbst an und unterschreiben Sie dann.',
  },
  'not-by-pin': {
    title: 'Dafür braucht es eine volle Anmeldung',
    words: () =>
      'Wer die Werkbank mit PIN entsperrt hat, macht dort die Arbeit der Werkbank, und nicht mehr.',
    wayOut: () => 'Melden Sie sich mit E-Mail-Adresse und Passwort an.',
  },
  'pin-too-easy': {
    title: 'Die PIN ist zu leicht zu erraten',
    words: (f) => `Diese PIN würde unter den ersten erraten: ${satz(f.why)}.`,
    wayOut: () =>
      'Nehmen Sie sechs Ziffern, auf die niemand käme: keine Reihe, keine Wiederholung, kein Datum.',
  },
  'pin-wrong': {
    title: 'Die PIN ist falsch',
    words: (f) => `Das ist nicht die PIN. Verbleibende Versuche: ${f.triesLeft}.`,
    wayOut: () => 'Geben Sie sie noch einmal ein, oder melden Sie sich mit Ihrem Passwort an.',
  },
  'pin-ended': {
    title: 'Hier gilt keine PIN',
    words: () =>
      'Auf diesem Gerät hat die Person keine PIN, oder sie ist beendet: durch Zeit, durch falsche Versuche, oder weil die Anmeldung beendet wurde, aus der sie kam.',
    wayOut: () => 'Melden Sie sich mit Ihrem Passwort an; danach lässt sich eine neue PIN setzen.',
  },
  'pin-needs-fresh-sign-in': {
    title: 'Eine PIN setzt man nach frischer Anmeldung',
    words: (f) => `Eine PIN gilt ${f.hours} h ab der Anmeldung, und Ihre ist älter.`,
    wayOut: () =>
      'Melden Sie sich ab und mit Ihrem Passwort wieder an, und setzen Sie die PIN dann.',
  },
};
