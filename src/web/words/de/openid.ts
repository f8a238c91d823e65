import type { Words } from '../en.ts';

/** Signing in by the account of an organisation, in German. */
export const openid: Words['openid'] = {
  or: 'oder',
  leavesPage: 'Damit verlassen Sie die Seite: Was Sie darauf eingegeben haben, geht verloren.',
  returning: 'Sie werden angemeldet …',
  title: 'Anmeldung über die Organisation',
  over: 'Diese Anmeldung ist vorbei oder gehört zu einer anderen Seite.',
  again: 'Zur Anmeldung',
  handedOver:
    'Die andere Seite weiß jetzt Bescheid. Schließen Sie diese und machen Sie dort weiter.',
  own: {
    title: 'Konto der Organisation',
    none: 'Mit Ihnen ist kein Konto der Organisation verbunden. Ist eines verbunden, melden Sie sich damit statt mit dem Passwort an.',
    invited:
      'Ihre erste Anmeldung über die Organisation verbindet Ihr Konto, wenn Ihre E-Mail-Adresse dort dieselbe ist.',
    linked: (since) => `Ihr Konto der Organisation ist seit ${since} verbunden.`,
    link: 'Ein Konto verbinden',
    linkHint: 'Sie werden zur Organisation geschickt und melden sich dort an.',
    unlink: 'Die Verbindung lösen',
    unlinkHint: 'Ihre anderen Geräte werden abgemeldet.',
    wasUnlinked: 'Die Verbindung ist gelöst.',
    wasLinked: 'Das Konto ist verbunden. Von jetzt an können Sie sich damit anmelden.',
    yourPage: 'Zu „Ihr Passwort“',
  },
  sign: {
    instead: 'Statt des Passworts',
    prepare: 'Durch die Organisation bestätigen',
    open: 'Dort neu anmelden (auf einer neuen Seite)',
    waiting: 'Es wird auf die Organisation gewartet; kommen Sie danach hierher zurück.',
    confirmed:
      'Die Organisation hat bestätigt, dass Sie es sind: Unterschreiben Sie innerhalb von drei Minuten.',
  },
  provider: {
    says: 'Die Leute können sich mit dem Konto anmelden, das sie bei ihrer Organisation haben (OpenID Connect). Jedes Konto wird zuerst mit einer Person verbunden: von ihr selbst, oder durch Ihre Einladung.',
    issuer: 'Aussteller',
    issuerHint: 'Die Adresse, wie der Anbieter sie schreibt, mit https.',
    clientId: 'Client-Kennung',
    clientSecret: 'Client-Geheimnis',
    secretHint:
      'Es wird verschlüsselt aufbewahrt und nie gezeigt. Bleibt das Feld leer, bleibt das jetzige.',
    secretFirstHint: 'Es wird verschlüsselt aufbewahrt und nie gezeigt.',
    buttonName: 'Aufschrift der Schaltfläche',
    active: 'In Gebrauch',
    redirectUri: 'Rückkehradresse, dort einzutragen',
    signInLink: 'Anmelde-Link für Ihre Leute',
    save: 'Speichern',
    saved: 'Die Anmeldung über die Organisation ist gespeichert.',
    tryIt: 'Ausprobieren',
    tryHint:
      'Fragt den Anbieter unter der Adresse oben, was er von sich sagt, gespeichert oder nicht.',
    works:
      'Der Anbieter antwortet und kann, was gebraucht wird. Ob das Client-Geheimnis stimmt, zeigt die erste Anmeldung.',
  },
  person: {
    title: 'Anmeldung über die Organisation',
    none: 'Es ist kein Konto der Organisation verbunden.',
    invited: (until) =>
      `Eingeladen bis ${until}: Die erste Anmeldung mit dieser E-Mail-Adresse, dort bestätigt, verbindet das Konto.`,
    linked: (since) => `Seit ${since} ist ein Konto der Organisation verbunden.`,
    invite: 'Diese Person soll sich über die Organisation anmelden',
    unlink: 'Die Verbindung lösen',
    takeBack: 'Die Einladung zurücknehmen',
    wasInvited: 'Die erste Anmeldung über die Organisation verbindet das Konto.',
    wasUnlinked:
      'Die Verbindung mit dem Konto der Organisation ist gelöst; die Person ist abgemeldet.',
  },
};
