import type { ACCESS_REASONS } from '../../../../domain/reasons/access.ts';
import type { ReasonWords } from '../../reasons.ts';
import { worte } from '../wort.ts';

/** Refusals about who is asking, in German. */
export const ACCESS: ReasonWords<typeof ACCESS_REASONS> = {
  'not-signed-in': {
    title: 'Nicht angemeldet',
    words: () => 'Dafür braucht es ein Zugriffstoken, das der Dienst ausgestellt hat.',
    wayOut: () => 'Melden Sie sich an.',
  },
  'token-expired': {
    title: 'Das Zugriffstoken ist abgelaufen',
    words: () => 'Zugriffstoken gelten zehn Minuten; dieses ist älter.',
    wayOut: () => 'Melden Sie sich wieder an.',
  },
  'session-ended': {
    title: 'Diese Anmeldung ist beendet',
    words: () =>
      'Diese Anmeldung wurde beendet: durch Abmelden, von Ihnen an anderer Stelle, oder für Sie.',
    wayOut: () => 'Melden Sie sich wieder an.',
  },
  'access-changed': {
    title: 'Ihre Rollen haben sich geändert',
    words: () =>
      'Ihre Rollen sind andere als zu der Zeit, zu der dieses Zugriffstoken ausgestellt wurde.',
    wayOut: () => 'Melden Sie sich wieder an.',
  },
  'session-unknown': {
    title: 'Keine solche Anmeldung',
    words: () => 'Diese Anmeldung gibt es nicht, oder sie ist schon beendet.',
    wayOut: () => 'Lesen Sie die Liste der Anmeldungen neu.',
  },
  'role-may-not': {
    title: 'Ihre Rolle darf das nicht',
    words: (f) => `Das ist für: ${worte(f.roles)}.`,
    wayOut: () => 'Fragen Sie jemanden mit dieser Rolle, oder die Administration nach der Rolle.',
  },
  'sign-in-failed': {
    title: 'E-Mail-Adresse oder Passwort ist falsch',
    words: () => 'Keine aktive Person hat diese E-Mail-Adresse mit diesem Passwort.',
    wayOut: () =>
      'Prüfen Sie beides; die Administration kann Ihnen einen Code für ein neues Passwort geben.',
  },
  'sign-in-locked': {
    title: 'Zu viele Fehlversuche',
    words: (f) =>
      `Nach zu vielen falschen Passwörtern ist dieser Name noch ${f.retryAfterS} s gesperrt.`,
    wayOut: () =>
      'Warten Sie; jedes weitere falsche Passwort verdoppelt die Wartezeit, bis zu einer Stunde.',
  },
  'code-not-valid': {
    title: 'Der Code gilt nicht',
    words: () =>
      'Keine aktive Person hat diese E-Mail-Adresse mit diesem Code: Ein Code gilt einmal, 72 Stunden lang, und nicht mehr nach zehn Fehlversuchen.',
    wayOut: () => 'Prüfen Sie beides; die Administration kann Ihnen einen anderen Code geben.',
  },
  'refresh-token-not-valid': {
    title: 'Die Anmeldung gilt nicht mehr',
    words: () => 'Das Token ist unbekannt, abgelaufen oder durch eine Abmeldung beendet.',
    wayOut: () => 'Melden Sie sich wieder an.',
  },
  'refresh-token-reused': {
    title: 'Das Token wurde schon benutzt',
    words: () =>
      'Jedes dieser Token gilt einmal. Dieses wurde noch einmal gezeigt; darum ist die ganze Anmeldung beendet.',
    wayOut: () =>
      'Melden Sie sich wieder an. Waren das nicht Sie oder Ihr eigenes Gerät, ändern Sie Ihr Passwort.',
  },
  'signature-not-verified': {
    title: 'Die Unterschrift ist nicht bestätigt',
    words: () =>
      'Zum Unterschreiben braucht es im selben Augenblick Ihr eigenes Passwort; dieses ist es nicht.',
    wayOut: () =>
      'Geben Sie Ihr Passwort noch einmal ein. Falsche zählen als Fehlversuche der Anmeldung.',
  },
  'signed-content-changed': {
    title: 'Was Sie gesehen haben, steht so nicht mehr da',
    words: () =>
      'Was unterschrieben würde, hat sich geändert, seit es Ihnen gezeigt wurde. Nichts wurde unterschrieben.',
    wayOut: () => 'Lesen Sie, was jetzt dasteht, und unterschreiben Sie das.',
  },
  'password-not-verified': {
    title: 'Ihr Passwort ist falsch',
    words: () => 'Das geht nur mit Ihrem eigenen Passwort, wie es jetzt gilt.',
    wayOut: () =>
      'Geben Sie Ihr Passwort noch einmal ein. Falsche zählen als Fehlversuche der Anmeldung.',
  },
  'own-password-missing': {
    title: 'Sie haben hier kein Passwort',
    words: () =>
      'Das geht nur mit Ihrem eigenen Passwort, und Sie melden sich über Ihre Organisation an.',
    wayOut: () =>
      'Lassen Sie sich von der Administration einen Einmalcode geben und setzen Sie damit ein Passwort. Gibt es sonst niemanden, gibt ihn, wer den Dienst betreibt.',
  },
  'password-unfit': {
    title: 'Das Passwort ist zu kurz oder zu lang',
    words: (f) => `Ein Passwort hat ${f.shortest} bis ${f.longest} Zeichen.`,
    wayOut: () => 'Nehmen Sie einen Satz oder mehrere Wörter; jedes Zeichen ist erlaubt.',
  },
  'password-common': {
    title: 'Das Passwort ist leicht zu erraten',
    words: () =>
      'Dieses Passwort wird als eines der ersten probiert: Es ist verbreitet, wiederholt sich, folgt der Tastatur oder besteht aus Namen, die hier bekannt sind.',
    wayOut: () =>
      'Nehmen Sie mehrere Wörter, die nichts miteinander und nichts mit Ihnen zu tun haben.',
  },
  'person-has-left': {
    title: 'Diese Person arbeitet nicht mehr hier',
    words: () =>
      'Ein Einmalcode ist für Personen, die hier arbeiten; diese ist als ausgeschieden vermerkt.',
    wayOut: () => 'Vermerken Sie zuerst, dass die Person hier arbeitet.',
  },
  'own-code-by-another': {
    title: 'Niemand gibt sich selbst einen Code',
    words: () =>
      'Mit einem Code für Ihr eigenes Passwort könnte es setzen, wer Ihr Gerät in der Hand hat.',
    wayOut: () =>
      'Ändern Sie Ihr Passwort mit dem jetzigen, oder bitten Sie eine andere Administration.',
  },
  'person-unknown': {
    title: 'Diese Person gibt es nicht',
    words: () => 'In dieser Werkstatt gibt es keine solche Person.',
    wayOut: () => 'Wählen Sie eine Person der Werkstatt.',
  },
  'email-is-taken': {
    title: 'Die E-Mail-Adresse ist vergeben',
    words: () => 'Mit dieser E-Mail-Adresse meldet sich schon jemand an.',
    wayOut: () =>
      'Geben Sie eine andere Adresse an, oder ändern Sie die Person, die diese schon hat.',
  },
  'last-administrator': {
    title: 'Die Werkstatt braucht eine Administration',
    words: () => 'Danach hätte die Werkstatt niemanden mehr, der sie verwaltet.',
    wayOut: () => 'Geben Sie die Rolle zuerst jemand anderem.',
  },
  'own-access-kept': {
    title: 'Niemand nimmt sich selbst den Zugang',
    words: () =>
      'Damit nähmen Sie sich selbst die Administration, oder meldeten sich für immer ab: ein Versehen, das Sie nicht rückgängig machen könnten.',
    wayOut: () => 'Bitten Sie jemand anderen aus der Administration darum.',
  },
};
