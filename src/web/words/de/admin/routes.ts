/** Routes of work, in German. */
import type { Words } from '../../en.ts';
import { viele, zahl } from '../zahl.ts';

const gesagt = (value: string | number): string =>
  typeof value === 'number' ? zahl(value) : value;

export const routes: Words['admin']['routes'] = {
  says: 'Eine Liste von Arbeitsgängen je Art Schaft und Haftung. Ein Schaft nimmt die Fassung, die gilt, wenn er begonnen wird, und behält sie.',
  sockets: { check: 'Testschäfte', definitive: 'Definitivschäfte' },
  inShort: (operations, version, sockets) =>
    `${viele(operations, 'Arbeitsgang', 'Arbeitsgänge')}, Fassung ${version}; ${sockets === 1 ? 'ein Schaft' : `${sockets} Schäfte`} danach in Arbeit.`,
  keepTheirs:
    'Schäfte in Arbeit behalten die Fassung, nach der sie begonnen wurden. Was Sie schreiben, gilt für die danach begonnenen.',
  underWay: (numbers) =>
    numbers.length === 0 ? undefined : `Danach in Arbeit: ${numbers.join(', ')}.`,
  name: 'Name des Arbeitsplans',
  nameHelp: 'Steht auf dieser Seite und in der Aufzeichnung jeder Fassung.',
  operations: 'Arbeitsgänge',
  operationsHelp:
    'In der Reihenfolge, in der sie getan werden: der nächste öffnet sich, wenn der vorige erledigt ist. Verschieben Sie sie mit den Knöpfen. Was nicht sein kann (eine angezogene Verschraubung vor ihren Passteilen), steht beim Arbeitsgang und wird nicht gesichert.',
  standAgainst: (count) =>
    count === 1
      ? 'Eines spricht gegen diesen Arbeitsplan.'
      : `${count} Dinge sprechen gegen diesen Arbeitsplan.`,
  kinds: {
    prepare_model: 'Modell vorbereiten',
    thermoform: 'Testschaft tiefziehen',
    trim_edges: 'Rand beschleifen',
    fit_hardware: 'Passteile einbauen',
    seal_model: 'Modell isolieren',
    mount_dummy: 'Dummy montieren',
    lay_up: 'armieren',
    laminate: 'laminieren',
    cure: 'aushärten',
    grind_flush: 'bündig schleifen',
    pull_dummy: 'Dummy ziehen',
    break_out_model: 'Modell herausschlagen',
    inspect_chamber: 'Kammer prüfen',
    check_lock: 'Arretierung prüfen',
    torque_joints: 'Verschraubungen anziehen',
    measure_alignment: 'Aufbau messen',
    finish: 'fertigmachen und reinigen',
  },
  facts: {
    dummy_in: 'der Dummy ist montiert',
    dummy_out: 'der Dummy ist gezogen',
    hardware_in: 'die Passteile sind eingebaut',
    joints_confirmed: 'jede Verschraubung ist angezogen',
    lock_checked: 'die Prüfung der Arretierung ist bestanden',
    alignment_measured: 'der Aufbau ist gemessen',
    model_not_needed: 'der Auftrag braucht sein Modell nicht mehr',
    layup_approved: 'der Lagenaufbau ist unterschrieben',
    resin_weighed: 'die Becher sind eingewogen, im Verhältnis',
  },
  needs: (facts) => `Erledigt erst, wenn das Buch zeigt: ${facts}.`,
  fields: {
    title: 'Bezeichnung',
    bench: 'Arbeitsplatz',
    plannedMinutes: 'Geplante Minuten',
    caution: 'Warnhinweis',
  },
  help: {
    plannedMinutes:
      'Minuten Arbeit eines Menschen, 1 bis 1440. Zeit, in der niemand gebraucht wird, etwa beim Aushärten, zählt nicht. Leer: es belastet keinen Arbeitsplatz.',
    caution:
      'Steht an der Werkbank über dem Arbeitsgang: was verletzen kann und was schützt. Die Anleitung des Herstellers und die örtlichen Vorschriften gehen vor.',
  },
  titleOf: (n) => `Bezeichnung von Arbeitsgang ${n}`,
  noBench: 'kein Arbeitsplatz',
  nothing: 'nichts',
  inside: (checks, bench, minutes) =>
    [
      checks === 0 ? 'keine Prüfpunkte' : checks === 1 ? 'ein Prüfpunkt' : `${checks} Prüfpunkte`,
      bench,
      minutes === '' ? '' : `${minutes} min`,
    ]
      .filter((each) => each !== '')
      .join(', '),
  up: 'Nach oben',
  down: 'Nach unten',
  takeOut: 'Herausnehmen',
  upOf: (title) => `Nach oben: ${title}`,
  downOf: (title) => `Nach unten: ${title}`,
  takeOutOf: (title) => `Herausnehmen: ${title}`,
  addKind: 'Ein weiterer Arbeitsgang',
  addKindHelp:
    'Seine Art entscheidet, was das Buch zeigen muss, bevor er erledigt ist, und was sich damit ändert. Er kommt ans Ende der Liste; verschieben Sie ihn von dort.',
  addOperation: 'Zur Liste hinzufügen',
  checks: 'Prüfpunkte',
  checksHelp:
    'Fragen, die beantwortet werden, wenn der Arbeitsgang erledigt ist. Ein Nein oder ein Wert außerhalb seiner Grenzen stoppt die Arbeit mit einem Befund. Eine zweite Person ist jemand anderes, der mit hingesehen hat.',
  noChecks: 'Er fragt nichts.',
  addCheckOf: (title) => `Prüfpunkt hinzufügen: ${title}`,
  askOf: (n) => `Frage ${n}`,
  answerOf: (n) => `Antwort ${n} ist`,
  unitOf: (n) => `Einheit von ${n}`,
  minOf: (n) => `Kleinster Wert von ${n}`,
  maxOf: (n) => `Größter Wert von ${n}`,
  batchOf: (n) => `Charge von ${n}`,
  amountAsked: 'auch die entnommene Menge wird gefragt',
  checkUpOf: (n) => `Nach oben: Frage ${n}`,
  checkOutOf: (n) => `Herausnehmen: Frage ${n}`,
  scanOf: (n) => `Welcher Code, Frage ${n}`,
  scansOf: { traveller: 'der Code des Laufzettels dieses Auftrags', anything: 'irgendein Code' },
  checkKinds: {
    yes_no: 'Ja oder Nein',
    measured: 'ein gemessener Wert',
    batch: 'eine Charge',
    note: 'eine Bemerkung',
    second_person: 'eine zweite Person',
    scan: 'ein eingelesener Code',
    photo: 'ein Foto',
  },
  limits: (min, max, unit) =>
    min === null
      ? max === null
        ? unit
        : `höchstens ${zahl(max)} ${unit}`
      : max === null
        ? `mindestens ${zahl(min)} ${unit}`
        : `${zahl(min)} bis ${zahl(max)} ${unit}`,
  write: 'Nächste Fassung schreiben',
  written: (version) => `Fassung ${version} gilt.`,
  racedWayOut:
    'Sie steht in Ihrer Liste, wo Sie selbst nichts geändert haben; Ihre Eingabe steht noch da. Sehen Sie an, was sich ändert, und schreiben Sie noch einmal.',
  whatChanges: (version) => `Was sich gegenüber Fassung ${version} ändert`,
  whatChangesHelp:
    'Was ein Schaft, der von jetzt an begonnen wird, anders macht als ein früher begonnener.',
  nameChanged: (was, is) => `Heißt „${is}“; hieß „${was}“.`,
  added: (title, at) => `Hinzugefügt als Nummer ${at}: „${title}“.`,
  takenOut: (title) => `Herausgenommen: „${title}“.`,
  movedTo: (title, from, to) => `Von ${from} auf ${to} verschoben: „${title}“.`,
  changed: (title, what, was, is) => `„${title}“, ${what}: ${gesagt(is)}; war ${gesagt(was)}.`,
  checkAdded: (title, check) => `„${title}“ fragt zusätzlich: ${check}`,
  checkChanged: (title, was, is) => `„${title}“ fragt ${is}; war ${was}`,
  checkTakenOut: (title, check) => `„${title}“ fragt nicht mehr: ${check}`,
};
