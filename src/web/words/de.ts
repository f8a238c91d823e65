/** Every text of the client in German, as an orthopaedic workshop speaks: formal, short. A missing text does not compile. */
import type { Words } from './en.ts';
import { admin } from './de/admin.ts';
import { audit } from './de/audit.ts';
import { bench } from './de/bench.ts';
import { book } from './de/book.ts';
import { desk } from './de/desk.ts';
import { fitting } from './de/fitting.ts';
import { help } from './de/help.ts';
import { looks } from './de/looks.ts';
import { secondFactor } from './de/secondFactor.ts';
import { offline } from './de/offline.ts';
import { openid } from './de/openid.ts';
import { papers } from './de/papers.ts';
import { pictures } from './de/pictures.ts';
import { rights } from './de/rights.ts';
import { signing } from './de/signing.ts';
import { work } from './de/work.ts';

export const de: Words = {
  language: 'Deutsch',
  locale: 'de-DE',
  service: {
    name: 'Castbook',
    caution: 'Castbook schlägt vor und zeichnet auf; ein Mensch entscheidet und unterschreibt.',
    loading: 'Die Aufzeichnung wird gelesen …',
    unreachable:
      'Der Dienst ist nicht erreichbar. Nichts ging verloren; versuchen Sie es noch einmal.',
    retry: 'Noch einmal',
    wayOut: 'Was zu tun ist',
    missing: 'Das fehlt.',
    besideFields: 'Noch nicht erledigt: was nicht stimmt, steht bei den Feldern.',
    notFound: 'Diese Seite gibt es nicht.',
    insecure: 'Diese Adresse ist nicht gesichert',
    insecureSays:
      'Castbook läuft nur über https oder auf dem Rechner selbst: Nichts von einem Patienten geht offen durch das Netz der Klinik. Fragen Sie nach der https-Adresse, wer Castbook bei Ihnen betreut.',
    help: (about) => `Hilfe: ${about}`,
    noNumber: 'Das ist keine Zahl.',
    noAmount: (decimals) =>
      decimals === 0
        ? 'Ein Betrag hat keine Nachkommastellen.'
        : `Ein Betrag hat höchstens ${decimals} Nachkommastellen.`,
    yes: 'ja',
    no: 'nein',
    nothing: '–',
    skip: 'Zum Inhalt der Seite',
    menu: 'Seiten',
  },
  settings: {
    title: 'Sprache und Einheiten',
    link: 'Sprache, Einheiten',
    language: 'Sprache',
    units: 'Einheiten',
    length: 'Maße am Stumpf',
    lengths: { mm: 'Millimeter (mm)', cm: 'Zentimeter (cm)', in: 'Zoll (in)' },
    lengthHint: 'Wandstärken, Breiten und Versatz stehen in Millimetern oder in Zoll.',
    mass: 'Körpergewicht',
    masses: { kg: 'Kilogramm (kg)', lb: 'Pound (lb)' },
    torque: 'Drehmoment',
    torques: {
      'N.m': 'Newtonmeter (N·m)',
      'lbf.in': 'Pound-force-Inch (lbf·in)',
      'lbf.ft': 'Pound-force-Foot (lbf·ft)',
    },
    kept: 'Gilt für Sie in diesem Browser. Aufgezeichnet wird immer in Millimetern, Kilogramm und Newtonmetern; Harz wird in Gramm gewogen, und ein Drehmomentschlüssel zeigt seine eigene Einheit.',
    notTranslated:
      'Was die Werkstatt selbst geschrieben hat (Arbeitsgänge, Prüfpunkte, Warnhinweise, Bemerkungen, Namen), bleibt in ihren Worten.',
    languageFailed: 'Die Sprache lässt sich gerade nicht laden.',
  },
  head: { menu: 'Menü', close: 'Schließen', dark: 'Dunkle Seite', light: 'Weiße Seite' },
  signIn: {
    title: 'Anmelden',
    ended:
      'Ihre Anmeldung ist abgelaufen. Melden Sie sich wieder an; was Sie eingegeben haben, ist noch da.',
    email: 'E-Mail-Adresse',
    password: 'Passwort',
    act: 'Anmelden',
    out: 'Abmelden',
    ownPassword: 'Ihr Passwort',
    ownPasswordSays:
      'Mit ihm unterschreiben Sie. Andere Geräte, an denen Sie angemeldet sind, werden abgemeldet.',
    signedIn: 'Wo Sie angemeldet sind',
    sessions: {
      device: 'An',
      began: 'Seit',
      lastUsed: 'Zuletzt benutzt',
      lastUsedHelp:
        'Die letzte Benutzung stimmt auf zehn Minuten. Was ein Gerät von sich sagt, ist nicht bewiesen.',
      unknownHelp: 'Kennen Sie eines davon nicht, so melden Sie es ab und ändern Sie Ihr Passwort.',
      how: 'Angemeldet mit',
      ways: {
        password: 'Passwort',
        pin: 'PIN eines Werkbankgeräts',
        openid: 'Konto der Organisation',
      },
      kinds: { phone: 'Telefon', tablet: 'Tablet', computer: 'Computer', other: 'Etwas anderes' },
      thisOne: 'dieses hier',
      end: 'Dort abmelden',
      endOf: (device, began) => `Dort abmelden: ${device}, seit ${began}`,
      ended: 'Dieses Gerät ist abgemeldet.',
      endOthers: 'Überall sonst abmelden',
      othersEnded: 'Sie sind nur noch hier angemeldet.',
      none: 'Nirgends.',
    },
    haveCode: 'Ich habe einen Code',
    haveNoCode: 'Ich habe ein Passwort',
    codeTitle: 'Passwort setzen',
    codeSays:
      'Die Administration Ihrer Klinik hat Ihnen einen Einmalcode gegeben. Mit ihm setzen Sie ein Passwort, das sonst niemand kennt.',
    code: 'Einmalcode',
    codeHint: 'Sechzehn Buchstaben und Ziffern; Großbuchstaben und Striche sind gleichgültig.',
    setPassword: 'Passwort setzen und anmelden',
    roles: 'Rollen',
    presentPassword: 'Jetziges Passwort',
    newPassword: 'Neues Passwort',
    passwordRule:
      '15 bis 200 Zeichen: ein Satz oder mehrere Wörter, die nichts mit Ihnen oder der Klinik zu tun haben. Alle Zeichen sind erlaubt; was leicht zu erraten ist, wird abgelehnt.',
    changePassword: 'Ändern',
    passwordChanged: 'Ihr Passwort ist geändert.',
  },
  pages: {
    orders: 'Aufträge',
    open: 'Auftrag eröffnen',
    bench: 'Werkbank',
    watch: 'Überfällig und gefährdet',
    fittings: 'Termine',
    trace: 'Rückverfolgung',
    recall: 'Rückruf',
    setup: 'Einrichtung',
    record: 'Aufzeichnung prüfen',
    openings: 'Mit Begründung freigegeben',
    work: 'Längere Arbeiten',
    retention: 'Aufbewahrung',
  },
  orders: {
    lateOnly: 'nur überfällige',
    none: 'Kein Auftrag passt.',
    more: 'Weitere Aufträge',
    order: 'Auftrag',
    patient: 'Patient/in',
    limb: 'Versorgung',
    promised: 'Zugesagt für',
    stage: 'Stand',
    noDay: 'kein Tag',
    late: 'überfällig',
    atRisk: 'gefährdet',
    atRiskOnly: 'nur gefährdete',
    numbered: 'Aufträge mit der Nummer',
    onHold: 'zurückgestellt',
  },
  roles: {
    front_desk: 'Empfang',
    technician: 'Techniker/in',
    prosthetist: 'OT-Meister/in',
    auditor: 'Auditor/in',
    administrator: 'Administration',
  },
  stages: {
    casting: 'Abdruck',
    check_fitting: 'Anprobe',
    lamination: 'Laminieren',
    delivery: 'Abgabe',
    delivered: 'abgegeben',
    cancelled: 'storniert',
  },
  sides: { left: 'links', right: 'rechts' },
  levels: {
    trans_tibial: 'transtibial',
    trans_femoral: 'transfemoral',
    ankle_disarticulation: 'Sprunggelenksexartikulation',
    knee_disarticulation: 'Knieexartikulation',
  },
  suspensions: {
    pin_lock: 'Pin-Lock',
    suction: 'Saugschaft',
    vacuum: 'Vakuum',
    lanyard: 'Zugkordel',
    sleeve: 'Kniekappe',
  },
  holds: {
    authorization_awaited: 'Kostenzusage steht aus',
    parts_awaited: 'Passteile stehen aus',
    patient_not_ready: 'Patient/in noch nicht bereit',
    limb_volume_not_stable: 'Stumpfvolumen nicht stabil',
  },
  desk,
  book,
  bench,
  rights,
  signing,
  fitting,
  pictures,
  papers,
  audit,
  looks,
  work,
  admin,
  offline,
  openid,
  help,
  secondFactor,
};
