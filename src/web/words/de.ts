/** Every text of the client in German, as an orthopaedic workshop speaks: formal, short. A missing text does not compile. */
import type { Words } from './en.ts';
import { audit } from './de/audit.ts';
import { bench } from './de/bench.ts';
import { desk } from './de/desk.ts';
import { fitting } from './de/fitting.ts';
import { help } from './de/help.ts';

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
  signIn: {
    title: 'Anmelden',
    ended:
      'Ihre Anmeldung ist abgelaufen. Melden Sie sich wieder an; was Sie eingegeben haben, ist noch da.',
    email: 'E-Mail-Adresse',
    password: 'Passwort',
    act: 'Anmelden',
    out: 'Abmelden',
  },
  pages: {
    orders: 'Aufträge',
    open: 'Auftrag eröffnen',
    bench: 'Werkbank',
    watch: 'Überfällig und gefährdet',
    trace: 'Rückverfolgung',
    recall: 'Rückruf',
  },
  orders: {
    find: 'Auftrags- oder Patientennummer',
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
  bench,
  signing: {
    title: 'Was Sie unterschreiben',
    password: 'Ihr Passwort, für diese Unterschrift',
    hint: 'Nur für diese Handlung eingegeben. Falsche zählen als Fehlversuche der Anmeldung.',
  },
  fitting,
  audit,
  help,
};
