/** Rows of the timeline in German: made from what is on record, not from the service's English. */
import type { Measures } from '../../../domain/reasons/measures.ts';
import { TORQUE_UNIT_SYMBOLS } from '../../../domain/torqueUnits.ts';
import type { components } from '../../../generated/api.ts';
import { de } from '../de.ts';
import { REASONS_IN_GERMAN } from './reasons.ts';
import { workedOut } from './traceWorked.ts';
import { hinter, nach, wort } from './wort.ts';

type Row = components['schemas']['TraceRow'];
type Of<Kind extends Row['kind']> = Extract<Row, { kind: Kind }>['details'];

/** A place: of a position in a socket the socket's number and the position; else its name. */
const ort = (place: string): string =>
  place.replace(/^(\S+\/[CD]\d+) (\w+)$/, (_all, socket: string, position: string) =>
    [socket, wort(position)].join(' '),
  );

/** Why something did not count, as far as the record keeps it: by its code. */
export const warum = (because: readonly { readonly code: string }[]): string =>
  because
    .map(({ code }) =>
      code in REASONS_IN_GERMAN
        ? REASONS_IN_GERMAN[code as keyof typeof REASONS_IN_GERMAN].title
        : code,
    )
    .join('; ');

/** What happened, without when, where and who. */
export function traceWords(row: Row, m: Measures): string {
  switch (row.kind) {
    case 'order':
      return `Auftrag eröffnet: ${wort(row.details.side)}, ${wort(row.details.level)}, ${wort(row.details.suspension)}`;
    case 'cast':
      return `Abdruck ${row.details.number} genommen (${de.fitting.methods[row.details.method as keyof typeof de.fitting.methods]})`;
    case 'stage':
      return `Schritt ${wort(row.details.toStage)}${nach(' aus ', row.details.fromStage && wort(row.details.fromStage))}${nach(': ', row.details.why)}`;
    case 'socket':
      return `${wort(row.details.socketKind)} begonnen nach Abdruck ${row.details.castNumber}${nach(', ersetzt ', row.details.replaces)}`;
    case 'move':
      return `${row.details.thing} ${de.audit.moveReasons[row.details.reason]}: ${row.details.from === null ? 'neu' : ort(row.details.from)} → ${ort(row.details.to)}${hinter(row.details.note)}`;
    case 'operation':
      return `${row.details.title}: ${wort(row.details.outcome)}, Versuch ${row.details.attempt}${nach(', mit ', row.details.secondPerson)}`;
    case 'batch_use': {
      const { batchKind, name, lot, amount, unit, usedFor } = row.details;
      const much = amount === null ? '' : `, ${m.figure(amount)} ${wort(unit)}`;
      return `${wort(batchKind)} ${name}, Charge ${lot}${much}${nach(' für ', usedFor && wort(usedFor))}`;
    }
    case 'measures':
    case 'volume_decision':
    case 'layup':
    case 'recipe':
    case 'weighing':
    case 'part_draft':
      return workedOut(row, m, warum);
    case 'torque':
      return torqued(row.details, m);
    case 'lock_check':
      return row.details.passes
        ? `Prüfung der Arretierung bestanden, mindestens ${row.details.leastClicks} Klicks`
        : `Prüfung der Arretierung nicht bestanden: ${warum(row.details.because)}`;
    case 'alignment': {
      const { flexionDeg, adductionDeg, anteriorOffsetMm, lateralOffsetMm } = row.details;
      const mm = (value: number): string => `${m.small.of(value, 1)} ${m.small.unit}`;
      return `Aufbau: Flexion ${m.figure(flexionDeg)}°, Adduktion ${m.figure(adductionDeg)}°, nach vorn ${mm(anteriorOffsetMm)}, nach außen ${mm(lateralOffsetMm)}`;
    }
    case 'fitting': {
      const { outcome, reasons, nextStep } = row.details;
      const why = reasons.map((each) => de.fitting.fitReasons[each]).join(', ');
      return `Passform ${wort(outcome)}${nach(': ', why === '' ? null : why)}${nach('; als Nächstes: ', nextStep && de.fitting.nextSteps[nextStep])}`;
    }
    case 'finding': {
      const { step, findingKind, note, disposition, dispositionReason } = row.details;
      return step === 'opened'
        ? `Befund ${wort(findingKind)}: ${note}`
        : `Befund ${wort(findingKind)} erledigt: ${wort(disposition ?? '')}${nach(', ', dispositionReason)}`;
    }
    case 'delivery':
      return `abgegeben, entgegengenommen von: ${row.details.receivedByRelation === 'patient' ? 'Patient/in selbst' : row.details.receivedByRelation}`;
    case 'service':
      return row.details.step === 'opened'
        ? `Service (${SERVICES[row.details.serviceKind]}): ${row.details.note}`
        : `Service abgeschlossen${nach(': ', row.details.outcome)}`;
    case 'signature':
      return `unterschrieben: ${MEANINGS[row.details.meaning]}`;
    case 'calibration':
      return `${row.details.tool} kalibriert: Zertifikat ${row.details.certificate}, ${row.details.laboratory}`;
  }
}

const SERVICES = {
  follow_up: 'Nachkontrolle',
  adjustment: 'Nachstellung',
  re_torque: 'Nachziehen',
  part_replaced: 'Passteil ersetzt',
} as const satisfies Record<Of<'service'>['serviceKind'], string>;

const MEANINGS = {
  fit_accepted: 'Passform angenommen',
  check_fitting_skipped: 'Anprobe ausgelassen',
  finding_accepted_as_is: 'Befund so angenommen',
  alignment_difference_accepted: 'Abweichung im Aufbau angenommen',
  mass_near_rating_acknowledged: 'Körpergewicht nahe am zulässigen zur Kenntnis genommen',
  delivery_released: 'Abgabe freigegeben',
  service_released: 'Service freigegeben',
  layup_approved: 'Lagenaufbau freigegeben',
  correction_made: 'Eintrag berichtigt',
  erasure_confirmed: 'Löschung bestätigt',
} as const satisfies Record<Of<'signature'>['meaning'], string>;

/** Only the last reading of each screw, in the tool's own unit. */
function torqued({ joint, confirms, readings, ...by }: Of<'torque'>, m: Measures): string {
  const last = readings
    .filter(({ final }) => final)
    .map((each) => `${each.fastener}: ${m.figure(each.value)} ${TORQUE_UNIT_SYMBOLS[each.unit]}`)
    .join(', ');
  return `Verschraubung ${wort(joint)} ${confirms ? 'bestätigt' : 'nicht bestätigt'} (${last}) mit ${by.tool.name}, Zertifikat ${by.calibration.certificate}${nach(', Schraubensicherung Charge ', by.threadlocker?.lot ?? null)}`;
}
