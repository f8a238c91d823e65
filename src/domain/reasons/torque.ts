import { whenInWords } from '../dayWords.ts';
import { TORQUE_UNIT_SYMBOLS } from '../torqueUnits.ts';
import type {
  BatchKind,
  FastenerSize,
  PropertyClass,
  TorqueToolClass,
  TorqueToolType,
  TorqueUnit,
} from '../words.ts';
import { figure } from './figures.ts';
import { entry } from './reason.ts';

const TORQUE_AGAIN =
  'The readings are kept. Loosen the fastener, clean and re-apply threadlocker as its maker says, torque the whole joint again and record it.';

/** Refusals about torque, torque tools and their calibration (R4, R5). */
export const TORQUE_REASONS = {
  'torque-out-of-band': entry<{
    fastener: number;
    readingNm: number;
    acceptedFromNm: number;
    acceptedToNm: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'Torque reading outside the accepted band',
    words: (f, m) =>
      `Fastener ${f.fastener} reads ${m.torque.of(f.readingNm)} ${m.torque.unit}; accepted is ${m.torque.of(f.acceptedFromNm)} to ${m.torque.of(f.acceptedToNm)} ${m.torque.unit}.`,
    wayOut: () => TORQUE_AGAIN,
  }),
  'fastener-without-reading': entry<{ fastener: number; fastenerCount: number }>({
    rule: 'R4',
    kind: 'rule',
    title: 'A fastener has no torque reading',
    words: (f) => `Fastener ${f.fastener} of ${f.fastenerCount} has no reading.`,
    wayOut: () => 'Torque the whole joint in its order and record a reading for every fastener.',
  }),
  'fastener-over-torqued': entry<{
    fastener: number;
    pass: number;
    readingNm: number;
    acceptedToNm: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'Fastener was over-torqued on the way',
    words: (f, m) =>
      `Fastener ${f.fastener} read ${m.torque.of(f.readingNm)} ${m.torque.unit} in pass ${f.pass}, above the ${m.torque.of(f.acceptedToNm)} ${m.torque.unit} that is accepted; a later, lower reading does not undo that.`,
    wayOut: () => TORQUE_AGAIN,
  }),
  'torque-readings-missing': entry<{ fastenerCount: number }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'Torque confirmation without readings',
    words: (f) => `The joint has ${f.fastenerCount} fasteners and no reading was given.`,
    wayOut: () => 'Enter the reading of each fastener in tightening order.',
  }),
  'torque-fastener-unknown': entry<{ fastener: number; fastenerCount: number }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'The joint has no such fastener',
    words: (f) => `Fastener ${f.fastener} was named; the joint has 1 to ${f.fastenerCount}.`,
    wayOut: () => 'Number the fasteners as the joint drawing on the traveller does.',
  }),
  'torque-pass-unknown': entry<{ fastener: number; pass: number }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'There is no such tightening pass',
    words: (f) => `Fastener ${f.fastener} has a reading for pass ${f.pass}; passes count 1, 2, 3.`,
    wayOut: () => 'Count the passes from 1: snug, half, full.',
  }),
  'torque-reading-twice': entry<{ fastener: number; pass: number }>({
    rule: 'R4',
    kind: 'invalid',
    title: 'Two readings for one fastener in one pass',
    words: (f) => `Fastener ${f.fastener} has more than one reading in pass ${f.pass}.`,
    wayOut: () => 'Give a re-tightening the next pass number, or leave out the reading in error.',
  }),
  'torque-reading-implausible': entry<{
    fastener: number;
    pass: number;
    value: number;
    unit: TorqueUnit;
    torqueNm: number;
    torqueMaxNm: number;
    perhapsUnit: TorqueUnit | null;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'Torque reading cannot be right',
    words: (f, m) =>
      `Fastener ${f.fastener}, pass ${f.pass}: ${f.value} ${TORQUE_UNIT_SYMBOLS[f.unit]} is ${m.torque.of(f.torqueNm)} ${m.torque.unit}, and the setting ends at ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}.`,
    wayOut: (f) =>
      f.perhapsUnit === null
        ? `Does the tool show ${TORQUE_UNIT_SYMBOLS[f.unit]}? Read the tool again and enter value and unit as it shows them.`
        : `Does the tool show ${TORQUE_UNIT_SYMBOLS[f.perhapsUnit]} rather than ${TORQUE_UNIT_SYMBOLS[f.unit]}? Then the reading is inside the setting: enter it with that unit.`,
  }),
  'torque-band-empty': entry<{
    torqueMinNm: number;
    torqueMaxNm: number;
    deviationPercent: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The setting is too narrow for this tool',
    words: (f, m) =>
      `A tool allowed ±${f.deviationPercent} % cannot show that a torque lies between ${m.torque.of(f.torqueMinNm)} and ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}.`,
    wayOut: () => 'Take a tool with a smaller permissible deviation for this setting.',
  }),
  'tool-range-too-small': entry<{
    tool: string;
    toolMinNm: number;
    toolMaxNm: number;
    torqueMinNm: number;
    torqueMaxNm: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The tool does not reach the setting',
    words: (f, m) =>
      `${f.tool} measures ${m.torque.of(f.toolMinNm)} to ${m.torque.of(f.toolMaxNm)} ${m.torque.unit}; the setting is ${m.torque.of(f.torqueMinNm)} to ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}.`,
    wayOut: () => 'Take a torque tool whose range covers the whole setting.',
  }),
  'tool-class-not-of-type': entry<{
    type: TorqueToolType;
    toolClass: TorqueToolClass;
    classes: readonly TorqueToolClass[];
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'ISO 6789 has no such class for this type of tool',
    words: (f) =>
      `Class ${f.toolClass} is not a class of ${f.type} torque tools (${f.classes.join(', ')}).`,
    wayOut: () =>
      'Read type and class again from the tool or its certificate and correct the tool.',
  }),
  'tool-calibration-missing': entry<{ tool: string; on: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The torque tool has no calibration',
    words: (f) => `${f.tool} has no calibration on record for ${whenInWords(f.on)}.`,
    wayOut: () => 'Take a calibrated tool, or enter the certificate of this one.',
  }),
  'tool-calibration-expired': entry<{
    tool: string;
    calibratedOn: string;
    dueOn: string;
    on: string;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The calibration of the torque tool has run out',
    words: (f) =>
      `${f.tool} was calibrated on ${whenInWords(f.calibratedOn)} and was due again on ${whenInWords(f.dueOn)}; the work is of ${whenInWords(f.on)}.`,
    wayOut: () => 'Send the tool for calibration and take another one meanwhile.',
  }),
  'tool-found-out-of-tolerance': entry<{
    tool: string;
    calibratedOn: string;
    deviationPercent: number;
    permissibleDeviationPercent: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The torque tool was found out of tolerance',
    words: (f) =>
      `By its calibration of ${whenInWords(f.calibratedOn)} ${f.tool} is ${figure(f.deviationPercent)} % off; it is allowed ±${f.permissibleDeviationPercent} % (ISO 6789-1).`,
    wayOut: () =>
      'Have it adjusted and calibrated again, and take another tool meanwhile. The joints that it closed since the calibration before are in doubt: its trace lists them.',
  }),
  'tool-calibrated-that-day': entry<{ tool: string; calibratedOn: string; certificate: string }>({
    rule: 'R4',
    kind: 'conflict',
    title: 'The torque tool has a calibration of that day',
    words: (f) =>
      `${f.tool} was calibrated on ${whenInWords(f.calibratedOn)} by certificate ${f.certificate}; a tool is calibrated once a day.`,
    wayOut: () =>
      'Read the day on the certificate again. What the tool was found with and what was left after adjustment belong to one calibration.',
  }),
  'certificate-already-entered': entry<{ tool: string; calibratedOn: string; certificate: string }>(
    {
      rule: 'R4',
      kind: 'conflict',
      title: 'The certificate has been entered',
      words: (f) =>
        `Certificate ${f.certificate} is entered for ${f.tool}, as of ${whenInWords(f.calibratedOn)}; a certificate is of one calibration.`,
      wayOut: () => 'Enter the certificate of the new calibration, by its own number.',
    },
  ),
  'tool-uses-exceeded': entry<{
    tool: string;
    usesSinceCalibration: number;
    usesAsked: number;
    usesAllowed: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The torque tool has been used too often since its calibration',
    words: (f) =>
      `${f.tool} has ${f.usesSinceCalibration} uses since its calibration and is asked for ${f.usesAsked} more; ${f.usesAllowed} are allowed.`,
    wayOut: () => 'Send the tool for calibration and take another one meanwhile.',
  }),
  'tool-out-of-service': entry<{ tool: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The torque tool is out of service',
    words: (f) => `${f.tool} is in quarantine.`,
    wayOut: () => 'Take another tool; this one waits for its release.',
  }),
  'threadlocker-missing': entry<Record<never, never>>({
    rule: 'R4',
    kind: 'rule',
    title: 'Threadlocker is not named',
    words: () => 'The setting asks for threadlocker and no batch was named.',
    wayOut: () => 'Apply threadlocker and name the batch on its bottle.',
  }),
  'threadlocker-wrong-kind': entry<{ lot: string; kind: BatchKind }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The batch named is no threadlocker',
    words: (f) => `Lot ${f.lot} is ${f.kind.replaceAll('_', ' ')}.`,
    wayOut: () => 'Name the batch on the threadlocker bottle.',
  }),
  'threadlocker-expired': entry<{ lot: string; expiresOn: string; on: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The threadlocker has expired',
    words: (f) =>
      `Threadlocker lot ${f.lot} expired on ${whenInWords(f.expiresOn)}; the work is of ${whenInWords(f.on)}.`,
    wayOut: () => 'Clean the threads and use a batch that has not expired.',
  }),
  'threadlocker-quarantined': entry<{ lot: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'The threadlocker is in quarantine',
    words: (f) => `Threadlocker lot ${f.lot} is in quarantine.`,
    wayOut: () => 'Clean the threads and use a batch that is released.',
  }),
  'torque-setting-implausible': entry<{
    torqueMaxNm: number;
    size: FastenerSize;
    propertyClass: PropertyClass;
    nutFactor: number;
    clampLoadN: number;
    loadLimitN: number;
    loadLimitName: string;
    percentOfLimit: number;
    typedIn: TorqueUnit;
    asPoundInchesNm: number | null;
  }>({
    rule: 'R5',
    kind: 'rule',
    title: 'Torque setting cannot be right for this fastener',
    words: (f, m) =>
      `At ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit} an ${f.size} fastener of class ${f.propertyClass} would clamp with about ${figure(f.clampLoadN, 0)} N even at nut factor ${f.nutFactor}: ${figure(f.percentOfLimit, 0)} % of its ${f.loadLimitName} of ${figure(f.loadLimitN, 0)} N.`,
    wayOut: (f, m) =>
      f.asPoundInchesNm === null
        ? "Read torque, unit, size and class again from the maker's sheet."
        : `Typed pound-inches as ${TORQUE_UNIT_SYMBOLS[f.typedIn]}? In lbf·in the setting ends at ${m.torque.of(f.asPoundInchesNm)} ${m.torque.unit}, which this fastener can carry. Otherwise read size and class again from the maker's sheet.`,
  }),
  'torque-setting-near-limit': entry<{
    torqueMaxNm: number;
    size: FastenerSize;
    propertyClass: PropertyClass;
    nutFactor: number;
    clampLoadN: number;
    loadLimitN: number;
    loadLimitName: string;
    percentOfLimit: number;
  }>({
    rule: 'R5',
    kind: 'rule',
    title: 'With little friction this setting may stretch its fastener',
    words: (f, m) =>
      `At ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit} and nut factor ${f.nutFactor} an ${f.size} fastener of class ${f.propertyClass} would clamp with about ${figure(f.clampLoadN, 0)} N: ${figure(f.percentOfLimit, 0)} % of its ${f.loadLimitName} of ${figure(f.loadLimitN, 0)} N.`,
    wayOut: () =>
      "Read torque, size and class again from the maker's sheet; keep threads dry where it asks for dry ones, and put no grease on them.",
  }),
  'torque-setting-upside-down': entry<{ torqueMinNm: number; torqueMaxNm: number }>({
    rule: 'R5',
    kind: 'invalid',
    title: 'Torque setting has no sense',
    words: (f, m) =>
      `The setting runs from ${m.torque.of(f.torqueMinNm)} to ${m.torque.of(f.torqueMaxNm)} ${m.torque.unit}; both must be above zero and the first not above the second.`,
    wayOut: () => "Enter the least and the greatest torque of the maker's sheet, in that order.",
  }),
};
