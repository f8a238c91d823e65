/** How the work goes, in English: routes, layup rules, the calendar. */
const racedWayOut =
  'What you typed still stands, now beside that version. Written, yours takes its place; what the other changed is lost where yours differs. Read both, and put into yours what should stay.';
const whatChanges = (version: number) => `What changes against version ${version}`;

export const routes = {
  says: 'One list of operations for each kind of socket and suspension. A socket takes the version in force when it is begun, and keeps it.',
  sockets: { check: 'Check sockets', definitive: 'Definitive sockets' },
  inShort: (operations: number, version: number, sockets: number) =>
    `${operations} operations, version ${version}; ${sockets === 1 ? 'one socket' : `${sockets} sockets`} under way on it.`,
  keepTheirs:
    'Sockets under way keep the version that they were begun on. What you write holds for those begun afterwards.',
  underWay: (numbers: readonly string[]): string | undefined =>
    numbers.length === 0 ? undefined : `Under way on it: ${numbers.join(', ')}.`,
  name: 'Name of the route',
  nameHelp: 'Stands on this page and in the record of each version.',
  operations: 'Operations',
  operationsHelp:
    'In the order in which they are done: the next one opens when the one before is done. Move them by the buttons. What cannot be (a torqued joint before its hardware) is told beside the operation, and not saved.',
  standAgainst: (count: number) =>
    count === 1
      ? 'One thing stands against this route.'
      : `${count} things stand against this route.`,
  kinds: {
    prepare_model: 'prepare the model',
    thermoform: 'thermoform the check socket',
    trim_edges: 'trim the edges',
    fit_hardware: 'fit the hardware',
    seal_model: 'seal the model',
    mount_dummy: 'mount the dummy',
    lay_up: 'lay up the fabrics',
    laminate: 'laminate',
    cure: 'cure',
    grind_flush: 'grind flush',
    pull_dummy: 'pull the dummy',
    break_out_model: 'break out the model',
    inspect_chamber: 'inspect the chamber',
    check_lock: 'check the lock',
    torque_joints: 'torque the joints',
    measure_alignment: 'measure the alignment',
    finish: 'finish and clean',
  },
  facts: {
    dummy_in: 'the dummy is mounted',
    dummy_out: 'the dummy is pulled',
    hardware_in: 'the hardware is in',
    joints_confirmed: 'every joint is torqued',
    lock_checked: 'the lock check has passed',
    alignment_measured: 'the alignment is measured',
    model_not_needed: 'the order needs its model no more',
    layup_approved: 'the layup is signed',
    resin_weighed: 'the cups are weighed, on ratio',
  },
  needs: (facts: string) => `Done only when the book shows: ${facts}.`,
  fields: {
    title: 'title',
    bench: 'Bench',
    plannedMinutes: 'Planned minutes',
    caution: 'Caution',
  },
  help: {
    plannedMinutes:
      'Minutes of somebody’s work, 1 to 1,440. Time in which nobody is needed, as curing, is none. Empty: it is in no bench’s load.',
    caution:
      'Stands above the operation at the bench: what can hurt, and what protects. Defer to the maker’s instructions and the local rules.',
  },
  titleOf: (n: number) => `Title of operation ${n}`,
  noBench: 'no bench',
  nothing: 'nothing',
  inside: (checks: number, bench: string, minutes: string) =>
    [
      checks === 0 ? 'no checks' : checks === 1 ? 'one check' : `${checks} checks`,
      bench,
      minutes === '' ? '' : `${minutes} min`,
    ]
      .filter((each) => each !== '')
      .join(', '),
  up: 'Up',
  down: 'Down',
  takeOut: 'Take out',
  upOf: (title: string) => `Move up: ${title}`,
  downOf: (title: string) => `Move down: ${title}`,
  takeOutOf: (title: string) => `Take out: ${title}`,
  addKind: 'A further operation',
  addKindHelp:
    'Its kind decides what the book must show before it is done, and what saying done changes. It comes to the end of the list; move it up from there.',
  addOperation: 'Add it to the list',
  checks: 'Checks',
  checksHelp:
    'Questions that are answered when the operation is done. A no, or a value outside its limits, stops the work with a finding. A second person is somebody else who looked too.',
  noChecks: 'It asks nothing.',
  addCheckOf: (title: string) => `Add a check to ${title}`,
  askOf: (n: number) => `Question ${n}`,
  answerOf: (n: number) => `Answer ${n} is`,
  unitOf: (n: number) => `Unit of ${n}`,
  minOf: (n: number) => `Least of ${n}`,
  maxOf: (n: number) => `Greatest of ${n}`,
  batchOf: (n: number) => `Batch of ${n}`,
  amountAsked: 'the amount drawn is asked too',
  checkUpOf: (n: number) => `Move up: question ${n}`,
  checkOutOf: (n: number) => `Take out: question ${n}`,
  scanOf: (n: number) => `Which code, question ${n}`,
  scansOf: { traveller: 'the code of the order’s own traveller', anything: 'any code' },
  checkKinds: {
    yes_no: 'yes or no',
    measured: 'a measured value',
    batch: 'a batch',
    note: 'a note',
    second_person: 'a second person',
    scan: 'a scanned code',
    photo: 'a photo',
  },
  limits: (min: number | null, max: number | null, unit: string) =>
    min === null
      ? max === null
        ? unit
        : `at most ${max} ${unit}`
      : max === null
        ? `at least ${min} ${unit}`
        : `${min} to ${max} ${unit}`,
  write: 'Write the next version',
  written: (version: number) => `Version ${version} is in force.`,
  racedWayOut:
    'It is in your list wherever you changed nothing yourself; what you typed still stands. Look at what changes, and write again.',
  whatChanges,
  whatChangesHelp: 'What a socket begun from now on does otherwise than one begun before.',
  nameChanged: (was: string, is: string) => `Called “${is}”; was “${was}”.`,
  added: (title: string, at: number) => `Added as number ${at}: “${title}”.`,
  takenOut: (title: string) => `Taken out: “${title}”.`,
  movedTo: (title: string, from: number, to: number) => `Moved from ${from} to ${to}: “${title}”.`,
  changed: (title: string, what: string, was: string | number, is: string | number) =>
    `“${title}”, ${what.toLowerCase()}: ${is}; was ${was}.`,
  checkAdded: (title: string, check: string) => `“${title}” asks further: ${check}`,
  checkChanged: (title: string, was: string, is: string) => `“${title}” asks ${is}; was ${was}`,
  checkTakenOut: (title: string, check: string) => `“${title}” asks no longer: ${check}`,
};

export const layupRules = {
  says: 'They propose; the prosthetist decides and signs. A layup keeps the version that it came from.',
  rows: 'Rows',
  rowsHelp:
    'Each patient up to the top body mass has exactly one row, found by body mass, functional level (K0 to K4) and level of amputation. Gaps and overlaps are told here, and not saved.',
  addRow: 'Add a row',
  rowOf: (n: number) => `Row ${n}`,
  nameOf: (n: number) => `Name of row ${n}`,
  aboveOf: (n: number) => `Body mass above, kg (row ${n})`,
  upToOf: (n: number) => `up to, kg (row ${n})`,
  functionalLevelsOf: (n: number) => `Functional levels of row ${n}`,
  levelsOf: (n: number) => `Levels of amputation of row ${n}`,
  layerCount: (lines: number) => (lines === 1 ? 'one line' : `${lines} lines`),
  rowUpOf: (n: number) => `Move row ${n} up`,
  rowOutOf: (n: number) => `Take row ${n} out`,
  rowOut: 'Take the row out',
  insideToOutside: 'Layers, from the inside to the outside',
  toolingPlate: 'The tooling plate goes in here.',
  materialOf: (n: number) => `Material of layer ${n}`,
  layersOf: (n: number) => `How many (layer ${n})`,
  directionOf: (n: number) => `Direction of layer ${n}`,
  layerUpOf: (n: number) => `Move layer ${n} up`,
  layerOutOf: (n: number) => `Take layer ${n} out`,
  addLayer: 'Add layers of a fabric',
  addPlate: 'Add the tooling plate',
  forAll: 'For all rows',
  forAllHelp: 'What cut list, mass and thickness are worked out with, whichever row it is.',
  figures: {
    topBodyMassKg: 'Top body mass, kg',
    fibreMassFraction: 'Fibre mass fraction',
    brimMm: 'Allowance at the brim, mm',
    endTieMm: 'To tie at the distal end, mm',
    overlapMm: 'Overlap of wrapped fabric, mm',
    stepMm: 'Lengths in steps of, mm',
  },
  figuresHelp: {
    topBodyMassKg:
      'Past it nothing is proposed: the prosthetist writes the layup. Starting value 125 kg; common practice, no source.',
    fibreMassFraction:
      'Mass of fibre in the mass of the finished laminate, as a fraction of 1. Weigh a trimmed socket against its dry fabric to know yours.',
    brimMm: 'Past the brim, at each end of the fabric that comes out there.',
    endTieMm: 'To tie or twist the tube at the distal end, for each piece.',
    overlapMm: 'By which the edges of wrapped flat fabric lie over each other.',
    stepMm: 'Lengths are rounded up to whole steps of this.',
  },
  exampleTitle: 'What would be proposed',
  exampleHelp:
    'For an invented limb; type another. Worked out as at the bench: thickness and mass are expected values for a laminate without voids.',
  example: {
    bodyMassKg: 'Body mass, kg',
    functionalLevel: 'Functional level',
    level: 'Level of amputation',
    lengthMm: 'Length of the limb, mm',
    endMm: 'Girth at the distal end, mm',
    brimMm: 'Girth at the brim, mm',
  },
  byThose: (version: number) => `By version ${version}`,
  byTyped: 'As typed now',
  nothingProposed: 'Nothing is proposed:',
  row: (name: string) => `Row “${name}”`,
  line: (fabric: string, layers: number, direction: string, reflected: boolean) =>
    `${fabric}: ${layers === 1 ? '1 layer' : `${layers} layers`}, ${direction}${reflected ? ', reflected over the distal end' : ''}`,
  who: (aboveKg: number, upToKg: number, levels: string) =>
    `${aboveKg === 0 ? '' : `above ${aboveKg} and `}up to ${upToKg} kg · ${levels}`,
  everyLevel: 'every level',
  write: 'Write the next version',
  written: (version: number) => `Version ${version} of the layup rules is in force.`,
  racedWayOut,
  whatChanges,
  figureChanged: (what: string, was: number, is: number) => `${what}: ${is}; was ${was}.`,
  rowAdded: (name: string, who: string) => `New row “${name}”: ${who}.`,
  rowTakenOut: (name: string, who: string) => `Row “${name}” is gone: ${who}.`,
  whoChanged: (name: string, was: string, is: string) => `“${name}” is for: ${is}; was ${was}.`,
  layerAdded: (name: string, layer: string) => `“${name}” has now: ${layer}.`,
  layerGone: (name: string, layer: string) => `“${name}” had, and has no more: ${layer}.`,
  layersOrdered: (name: string, layers: string) => `“${name}” in another order: ${layers}.`,
};

export const calendar = {
  offered: 'Offered today',
  offeredHelp:
    'The day that would be offered to an order opened now, in the calendar in force: the first one with the wanted chance, or by the usual days where there is too little history.',
  offeredDay: (day: string) => `An order opened now would be offered ${day}.`,
  usualDays: 'The usual days of each stage stand in the settings of the clinic.',
  hours: 'Opening hours',
  hoursHelp:
    'As 8:00-12:00, 13:00-17:00. Empty: closed. Working days are counted, and benches manned, in these hours. Changed hours count for orders under way too.',
  hoursUnread: 'Type hours as 8:00-12:00, 13:00-17:00, or leave it empty.',
  closed: 'closed',
  closedDays: 'Closed days',
  closedDaysHelp:
    'Holidays, inventory, the day of the works outing. Those that are past stay: the working days of finished orders are counted in the same calendar.',
  day: 'Day',
  why: 'Why',
  addDay: 'Add the day',
  addFirst: 'This day is not in the list yet: add it, or empty the field.',
  closedAlready: 'This day is in the list.',
  takeOut: 'Take out',
  takeOutOf: (day: string) => `Take out ${day}`,
  pastDays: (count: number) => (count === 1 ? 'One past day' : `${count} past days`),
  write: 'Write the next version',
  written: (version: number) =>
    `Version ${version} of the calendar is in force. Offered dates are counted in it from now on.`,
  racedWayOut:
    'What the other changed is in your list now, beside what you typed. Look at both, and write again.',
  whatChanges,
  hoursChanged: (weekday: string, was: string, is: string) => `${weekday}: ${is}; was ${was}.`,
  closedAdded: (day: string, why: string) => `Closed on ${day}: ${why}.`,
  closedTakenOut: (day: string, why: string) => `Open on ${day}: ${why} is out.`,
};
