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
const INSTANT = /^(\d{4})-(\d\d)-(\d\d)T(\d\d:\d\d)[\d:.]*Z$/;
/** As the service's own sentences say a day, or an instant at the clinic, with its weekday or without. */
const IN_ENGLISH =
  /^(?:[A-Z][a-z]{2} )?(\d{1,2}) ([A-Z][a-z]{2}) (\d{4})(?:,? (\d\d:\d\d(?: UTC)?))?$/;
const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');
const twoDigits = (figure: string | number): string => String(figure).padStart(2, '0');

/**
 * A day of the record or of a sentence of the service, `2026-03-02` or `2 Mar 2026`, as
 * `02.03.2026`; the clock behind it stays. What is no day is said as it is.
 */
export const tag = (day: string): string =>
  day
    .replace(DAY, '$3.$2.$1')
    .replace(IN_ENGLISH, (all, of: string, name: string, year: string, clock?: string) =>
      MONTHS.includes(name)
        ? `${twoDigits(of)}.${twoDigits(MONTHS.indexOf(name) + 1)}.${year}${nach(', ', clock ?? null)}`
        : all,
    );

/** The same, and an instant of the record in UTC, which says so, where nobody has said it in the clinic's zone. */
export const zeit = (instant: string): string => tag(instant.replace(INSTANT, '$3.$2.$1, $4 UTC'));

/** Words with what leads to them; nothing where there are none. */
export const nach = (lead: string, words: string | null): string =>
  words === null ? '' : `${lead}${words}`;
/** A note in brackets; nothing where there is none. */
export const hinter = (note: string | null): string => (note === null ? '' : ` (${note})`);
