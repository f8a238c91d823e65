/** Phrases of the service with a figure or a name in them: what they look like, and German for it. */
import { tag, wort } from './wort.ts';

type Said = (...found: string[]) => string;
/** Phrases within a phrase. */
type Satz = (phrase: string) => string;

/** A decimal point of the service becomes a comma. */
const k = (figure = ''): string => figure.replace('.', ',');
/** Several phrases with semicolons between them. */
const each = (list = '', satz: Satz): string => list.split('; ').map(satz).join('; ');

const N = String.raw`([+-]?[\d.]+)`;
const pattern = (source: string): RegExp => new RegExp(`^${source}$`, 's');

const DAYS: Readonly<Record<string, string>> = {
  Monday: 'Montag',
  Tuesday: 'Dienstag',
  Wednesday: 'Mittwoch',
  Thursday: 'Donnerstag',
  Friday: 'Freitag',
  Saturday: 'Samstag',
  Sunday: 'Sonntag',
};
const COMPONENTS: Readonly<Record<string, string>> = {
  flexion: 'Flexion',
  adduction: 'Adduktion',
  'offset to the front': 'Versatz nach vorn',
  'offset outwards': 'Versatz nach außen',
  'toe-out': 'Fußaußenrotation',
  'height to the floor': 'Höhe zum Boden',
};
const UNITS: Readonly<Record<string, string>> = {
  days: 'Tage',
  weeks: 'Wochen',
  mL: 'ml',
  piece: 'Stück',
  'minor units': 'kleinste Einheiten',
};
const unit = (word = ''): string => UNITS[word] ?? word;

export const patterns = (satz: Satz): readonly (readonly [RegExp, Said])[] => [
  // Ranges and limits
  [
    pattern(`${N} to ${N} (kg) for an adult`),
    (from, to, of) => `${k(from)} bis ${k(to)} ${of} bei Erwachsenen`,
  ],
  [
    pattern(`${N} to ${N} (mm); a tape in centimetres shows a tenth of it`),
    (from, to, of) =>
      `${k(from)} bis ${k(to)} ${of}; ein Maßband in Zentimetern zeigt ein Zehntel davon`,
  ],
  [
    pattern(`${N} to ${N} for a tube laid flat, ${N} to ${N} for strip, up to ${N} for a roll(.*)`),
    (a, b, c, d, e, rest) =>
      `${k(a)} bis ${k(b)} für einen flach gelegten Schlauch, ${k(c)} bis ${k(d)} für Band, bis ${k(e)} für eine Rolle${rest}`,
  ],
  [
    pattern(`${N} to ${N} ?(\\S*|minor units)`),
    (from, to, of) =>
      `${k(from)} bis ${k(to)} ${unit(of)}`
        .trim()
        .replace(' °', '°')
        .replace('°C', ' °C')
        .replace('  ', ' '),
  ],
  [pattern(`${N} or ${N} (\\S+)`), (a, b, of) => `${k(a)} oder ${k(b)} ${unit(of)}`],
  [pattern(`${N} (days|weeks|g|mm|kg|h|min|%)`), (a, of) => `${k(a)} ${unit(of)}`],
  [pattern(`at least ${N} characters long`), (n) => `mindestens ${k(n)} Zeichen lang`],
  [pattern(`at most ${N} characters long`), (n) => `höchstens ${k(n)} Zeichen lang`],
  [pattern(`at least ${N} entries long`), (n) => `mindestens ${k(n)} Einträge lang`],
  [pattern(`at most ${N} entries long`), (n) => `höchstens ${k(n)} Einträge lang`],
  [pattern(`a multiple of ${N}`), (n) => `ein Vielfaches von ${k(n)}`],
  [pattern(`at least ${N} ?(\\S*)`), (n, of) => `mindestens ${k(n)} ${unit(of)}`.trim()],
  [pattern(`at most ${N} ?(\\S*)`), (n, of) => `höchstens ${k(n)} ${unit(of)}`.trim()],
  // Alignment, limb, layup
  [
    pattern(`(${Object.keys(COMPONENTS).join('|')}) differs by ${N} (\\S+)`),
    (what, by, of) => `${COMPONENTS[what] ?? ''} weicht um ${k(by)} ${of} ab`,
  ],
  [
    pattern(`${N} % off its neighbour only ${N} mm below`),
    (share, rise) =>
      `weicht um ${k(share)} % vom Nachbarn ab, der nur ${k(rise)} mm darunter liegt`,
  ],
  [
    pattern(`(\\S+) circumferences lie between ${N} and ${N} mm`),
    (level, least, greatest) =>
      `Umfänge (${wort(level)}) liegen zwischen ${k(least)} und ${k(greatest)} mm`,
  ],
  [
    pattern(`the heights span ${N} mm of a limb of ${N} mm; these look like centimetres`),
    (span, length) =>
      `die Höhen reichen über ${k(span)} mm eines Stumpfs von ${k(length)} mm; das sieht nach Zentimetern aus`,
  ],
  [
    pattern(
      `it lies ${N} mm past the limb's length of ${N} mm, and at most ${N} mm above the landmark are measured`,
    ),
    (past, length, most) =>
      `sie liegt ${k(past)} mm über der Stumpflänge von ${k(length)} mm, und gemessen werden höchstens ${k(most)} mm über der Bezugsmarke`,
  ],
  [
    pattern(`it is ${N} mm wide, and ${N} mm lie over each other`),
    (wide, over) => `es ist ${k(wide)} mm breit, und ${k(over)} mm liegen übereinander`,
  ],
  [
    pattern('the (left|right) (\\S+) limb of (\\S+)'),
    (side, level, order) => `${wort(side)} ${wort(level)}, ${order}`,
  ],
  [
    pattern('(Row “.*” of the rules, version \\d+, proposes other layers\\.) (.+)'),
    (first, rest) => `${satz(first)} ${satz(rest)}`,
  ],
  [
    pattern('Row “(.*)” of the rules, version (\\d+), proposes other layers\\.'),
    (row, version) => `Zeile „${row}“ der Regeln, Fassung ${version}, schlägt andere Lagen vor.`,
  ],
  [
    pattern(`The rules take a fibre mass fraction of ${N}, not ${N}\\.`),
    (rules, drafted) =>
      `Die Regeln nehmen einen Fasermassenanteil von ${k(rules)}, nicht ${k(drafted)}.`,
  ],
  [
    pattern(`The patient has ${N} kg; the clinic's layup rules end at ${N} kg\\.(?: (.+))?`),
    (has, end, rest) =>
      `Das Körpergewicht ist ${k(has)} kg; die Armierungsregeln der Werkstatt enden bei ${k(end)} kg.${rest === '' ? '' : ` ${satz(rest)}`}`,
  ],
  [
    pattern(`No row is for (\\S+), (K\\d), ${N} kg\\.(?: (.+))?`),
    (level, grade, mass, rest) =>
      `Keine Zeile gilt für ${wort(level)}, ${grade}, ${k(mass)} kg.${rest === '' ? '' : ` ${satz(rest)}`}`,
  ],
  [pattern('(.+) is withdrawn'), (what) => `${what} ist aus dem Katalog genommen`],
  [
    pattern('(.+) has another sheet by now'),
    (what) => `${what} hat inzwischen ein anderes Datenblatt`,
  ],
  [
    pattern('(.+) has another density by now'),
    (what) => `${what} hat inzwischen eine andere Dichte`,
  ],
  [
    pattern(`the patient has ${N} kg, (K\\d), and it was written for ${N} kg, (K\\d)`),
    (now, level, was, before) =>
      `das Körpergewicht ist ${k(now)} kg, ${level}, und geschrieben wurde er für ${k(was)} kg, ${before}`,
  ],
  [
    pattern(`the rules ask for a fibre mass fraction of ${N} now`),
    (n) => `die Regeln verlangen jetzt einen Fasermassenanteil von ${k(n)}`,
  ],
  [
    pattern(`the patient has ${N} kg, (K\\d); it was drafted (.+), and the rules now (.+)`),
    (now, level, by, ask) =>
      `das Körpergewicht ist ${k(now)} kg, ${level}; entworfen wurde er ${satz(by)}, und die Regeln haben jetzt ${satz(ask)}`,
  ],
  [pattern('by row “(.*)”'), (row) => `nach Zeile „${row}“`],
  [pattern('without a row'), () => 'ohne Zeile'],
  [pattern('have no row for that'), () => 'keine Zeile dafür'],
  [
    pattern('have row “(.*)” of version (\\d+)'),
    (row, version) => `Zeile „${row}“ der Fassung ${version}`,
  ],
  [
    pattern('(.+): (\\d+) layers?, ([a-z-]+)(, reflected over the distal end)?'),
    (fabric, count, direction, reflected) =>
      `${fabric}: ${count} ${count === '1' ? 'Lage' : 'Lagen'}, ${wort(direction)}${reflected === '' ? '' : ', am distalen Ende umgeschlagen'}`,
  ],
  // What an operation lacks
  [pattern('(.+) is still in the socket'), (name) => `${name} ist noch im Schaft`],
  [
    pattern('(Socket \\S+ has nothing at [^.]+\\.(?: Socket \\S+ has nothing at [^.]+\\.)+)'),
    (all) => {
      const [socket = ''] = /(?<=^Socket )\S+/.exec(all) ?? [];
      const places = [...all.matchAll(/has nothing at ([^.]+)\./g)].map(([, at = '']) => wort(at));
      return `in Schaft ${socket} sind leer: ${places.join(', ')}`;
    },
  ],
  [
    pattern('Socket (\\S+) has nothing at ([^.]+)\\.'),
    (socket, position) => `in Schaft ${socket} ist die Stelle „${wort(position)}“ leer`,
  ],
  [pattern('Lock of (\\S+): (.+)\\.'), (socket, why) => `Arretierung von ${socket}: ${satz(why)}`],
  [
    pattern('joint (distal|lock_plate|release_valve): (.+)'),
    (joint, rest) => {
      const [first = '', ...others] = rest.split('; ');
      return [
        `Verschraubung „${wort(joint)}“: ${satz(first)}`,
        ...others.map((other) => satz(other)),
      ].join('; ');
    },
  ],
  [pattern('layup (\\d+) is not approved'), (n) => `Lagenaufbau ${n} ist nicht freigegeben`],
  [
    pattern('layup (\\d+) no longer holds: (.+)'),
    (n, changed) => `Lagenaufbau ${n} gilt nicht mehr: ${each(changed, satz)}`,
  ],
  [
    pattern('recipe (\\d+) is not for the layup that stands'),
    (n) => `Ansatz ${n} gehört nicht zum gültigen Lagenaufbau`,
  ],
  [pattern('cup (\\d+) is ([^;]+)'), (n, state) => `Becher ${n} ist ${satz(state)}`],
  [pattern('(cup \\d+ is .+; .+)'), (all) => each(all, satz)],
  [pattern('cup (\\d+) \\((.+)\\)'), (n, state) => `Becher ${n} (${satz(state)})`],
  [
    pattern(
      '(.+), which closed it, was found beyond its permissible deviation on (.+) \\(certificate (.+)\\)',
    ),
    (tool, day, certificate) =>
      `${tool}, womit sie angezogen wurde, lag am ${tag(day)} außerhalb der zulässigen Abweichung (Zertifikat ${certificate})`,
  ],
  [pattern('A finding on (“.+”)'), (title) => `Ein Befund an ${satz(title)}`],
  [pattern('“(.+)”'), (title) => `„${title}“`],
  [pattern('([a-z_ ]+) joint'), (joint) => `Verschraubung „${wort(joint)}“`],
  [pattern('Cup (\\d+)'), (n) => `Becher ${n}`],
  [
    pattern('expired on (.+), before it was used'),
    (day) => `ist am ${tag(day)} abgelaufen, bevor sie verwendet wurde`,
  ],
  [
    pattern(`${N} g of loss, the clinic has ${N} g`),
    (asked, clinic) => `${k(asked)} g Verlust, die Werkstatt hat ${k(clinic)} g`,
  ],
  [
    pattern(`${N} % of margin, the clinic has ${N} %`),
    (asked, clinic) => `${k(asked)} % Zuschlag, die Werkstatt hat ${k(clinic)} %`,
  ],
  // Findings: their kind, and what the clinic wrote
  [
    pattern('([a-z][a-z_ -]+): (.*)'),
    (kind, note) => (wort(kind) === kind ? `${kind}: ${note}` : `${wort(kind)}: ${note}`),
  ],
  // Calendar and plan
  [
    pattern(`(\\w+day): minute ${N} to ${N} is no opening time of its own within the day`),
    (day, from, to) =>
      `${DAYS[day] ?? ''}: Minute ${k(from)} bis ${k(to)} ist keine eigene Arbeitszeit innerhalb des Tages`,
  ],
  [
    pattern('(\\d+) weekdays are given; a week has 7'),
    (n) => `${n} Wochentage sind angegeben; eine Woche hat 7`,
  ],
  [pattern('No weekday is open'), () => 'Kein Wochentag ist offen'],
  [
    pattern('(\\d{4}-\\d\\d-\\d\\d|\\d+ [A-Z][a-z]{2} \\d{4}) is closed twice'),
    (day) => `Der ${tag(day)} ist zweimal geschlossen`,
  ],
  [pattern('there is no such bench'), () => 'einen solchen Arbeitsplatz gibt es nicht'],
  [pattern('(\\S+) minutes are none'), (n) => `${k(n)} Minuten sind keine`],
  [
    pattern('its last day (\\S+) is before its first (\\S+)'),
    (last, first) => `der letzte Tag ${tag(last)} liegt vor dem ersten ${tag(first)}`,
  ],
  // Money
  [pattern('prices of batches \\((\\d+)\\)'), (n) => `Preise von Chargen (${n})`],
  [pattern('prices of pieces \\((\\d+)\\)'), (n) => `Preise von Stücken (${n})`],
  // Labels
  [
    pattern('has (\\d+) characters; (.+) are allowed'),
    (n, allowed) => `hat ${n} Zeichen; erlaubt sind ${satz(allowed)}`,
  ],
  [pattern('it is longer than (\\d+) characters'), (n) => `es ist länger als ${n} Zeichen`],
  [
    pattern('a label has 1 to 3 codes, not (\\d+)'),
    (n) => `ein Etikett hat 1 bis 3 Codes, nicht ${n}`,
  ],
  [
    pattern('the second asks for a first that ends in "(.)", not in "(.)"'),
    (asked, is) => `der zweite verlangt einen ersten, der auf „${asked}“ endet, nicht auf „${is}“`,
  ],
  [pattern('HIBC code (.+)'), (code) => `HIBC-Code ${code}`],
  [pattern("([a-z' ]+) \\((\\w+)\\)(.*)"), (what, id, rest) => `${satz(what)} (${id})${rest}`],
  // Records that are not there
  [pattern('piece with (lot|serial)'), (by) => `Stück mit ${satz(by)}`],
  [pattern('torque setting of the (.+)'), (what) => `Drehmoment der Verschraubung „${what}“`],
];
