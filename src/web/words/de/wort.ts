/** The closed words of the record, and days and instants, as German says them. */
import { de } from '../de.ts';

export { viele } from './zahl.ts';

const { bench, fitting, audit } = de;

/** By the word as it stands in the record. */
const WORDS: Readonly<Record<string, string>> = {
  ...bench.findingKinds,
  ...bench.positions,
  ...bench.joints,
  ...audit.keys,
  ...de.roles,
  ...de.stages,
  ...de.sides,
  ...de.levels,
  ...de.suspensions,
  ...de.holds,
  ...fitting.operationStates,
  ...fitting.directions,
  ...fitting.decisions,
  ...fitting.socketStates,
  taken: 'genommen',
  check: 'Testschaft',
  definitive: 'Definitivschaft',
  'pyramid or adapter': 'Pyramidenadapter oder Vierlochadapter',
  // Kinds of part, tool and batch
  spring: 'Feder der Arretierung',
  four_hole_adapter: 'Vierlochadapter',
  screw_set: 'Schraubensatz',
  fabrication_dummy: 'Dummy',
  torque_tool: 'Drehmomentschlüssel',
  resin: 'Harz',
  hardener: 'Härter',
  pigment: 'Farbpaste',
  fabric: 'Gewebe',
  threadlocker: 'Schraubensicherung',
  parting_agent: 'Trennmittel',
  thermoplastic_sheet: 'Thermoplastplatte',
  casting_material: 'Abformmaterial',
  piece: 'Stück',
  mL: 'ml',
  tube: 'Schlauch',
  strip: 'Band',
  flat: 'flaches Gewebe',
  indicating: 'anzeigende',
  setting: 'auslösende',
  part: 'Passteil',
  // How a finding is closed
  rework: 'Nacharbeit',
  remake: 'Neuanfertigung',
  accept_as_is: 'so angenommen',
  scrap: 'Aussondern',
  // Operations of a route
  prepare_model: 'Modell vorbereiten',
  thermoform: 'Tiefziehen',
  trim_edges: 'Rand beschleifen',
  fit_hardware: 'Passteile einbauen',
  seal_model: 'Modell isolieren',
  mount_dummy: 'Dummy montieren',
  lay_up: 'Armieren',
  laminate: 'Laminieren',
  cure: 'Aushärten',
  grind_flush: 'Bündig schleifen',
  pull_dummy: 'Dummy ziehen',
  break_out_model: 'Modell herausschlagen',
  inspect_chamber: 'Kammer prüfen',
  check_lock: 'Arretierung prüfen',
  torque_joints: 'Verschraubungen anziehen',
  measure_alignment: 'Aufbau messen',
  finish: 'Fertigmachen',
};

/** A closed word of the record, written with underscores, blanks or hyphens; what is none stays as it is. */
export const wort = (word: string): string =>
  WORDS[word] ?? WORDS[word.replaceAll(/[ -]/g, '_')] ?? word.replaceAll('_', ' ');

const listed = (words: readonly string[], last: string): string =>
  words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1) ?? ''}`;

/** Several of them; `K2 trans-tibial` is two words. */
export const worte = (words: readonly string[]): string =>
  words.map((each) => each.split(' ').map(wort).join(' ')).join(', ');
export const oder = (words: readonly string[]): string => listed(words.map(wort), 'oder');

/** A fabric's name, or a material's key, with blanks for underscores. */
export const stoff = (fabric: string): string => fabric.replaceAll('_', ' ');

const DAY = /^(\d{4})-(\d\d)-(\d\d)$/;
/** `2026-03-02` as `02.03.2026`. */
export const tag = (day: string): string => day.replace(DAY, '$3.$2.$1');

const INSTANT = /^(\d{4})-(\d\d)-(\d\d)T(\d\d:\d\d)[\d:.]*Z$/;
/** An instant of the record in UTC, and saying so, as the service itself has it. */
export const zeit = (instant: string): string => instant.replace(INSTANT, '$3.$2.$1, $4 UTC');

/** Words with what leads to them; nothing where there are none. */
export const nach = (lead: string, words: string | null): string =>
  words === null ? '' : `${lead}${words}`;
/** A note in brackets; nothing where there is none. */
export const hinter = (note: string | null): string => (note === null ? '' : ` (${note})`);
