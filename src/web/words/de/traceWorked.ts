/** What the bench worked out for a limb, in German: measures, decisions, layups, resin, labels. */
import type { Measures } from '../../../domain/reasons/measures.ts';
import type { components } from '../../../generated/api.ts';
import { de } from '../de.ts';
import { hinter, nach, tag, wort } from './wort.ts';

type Row = components['schemas']['TraceRow'];
type WorkedOut = Extract<
  Row,
  { kind: 'measures' | 'volume_decision' | 'layup' | 'recipe' | 'weighing' | 'part_draft' }
>;
type Of<Kind extends WorkedOut['kind']> = Extract<WorkedOut, { kind: Kind }>['details'];
/** Why something did not count. */
type Warum = (because: readonly { readonly code: string }[]) => string;

const OCCASIONS = {
  cast: 'Abdruck',
  fitting: 'Anprobe',
  delivery: 'Abgabe',
  follow_up: 'Nachkontrolle',
} as const;

export function workedOut(row: WorkedOut, m: Measures, warum: Warum): string {
  switch (row.kind) {
    case 'measures':
      return measured(row.details, m);
    case 'volume_decision':
      return decided(row.details, m);
    case 'layup':
      return laidUp(row.details, m);
    case 'recipe':
      return recipeMade(row.details, m);
    case 'weighing':
      return weighed(row.details, m, warum);
    case 'part_draft':
      return labelled(row.details);
  }
}

function measured({ occasion, takenOn, measures, ...of }: Of<'measures'>, m: Measures): string {
  const around = measures.map(({ circumferenceMm }) => circumferenceMm);
  const { unit } = m.length;
  const girths = `Umfang ${m.length.of(Math.min(...around), 1)} bis ${m.length.of(Math.max(...around), 1)} ${unit}`;
  return `Stumpf gemessen am ${tag(takenOn)} (${OCCASIONS[occasion]}): ${measures.length} Höhen, ${girths}, Länge ${m.length.of(of.limbLengthMm, 1)} ${unit}${nach('; ', of.note)}`;
}

function decided({ first, second, ...of }: Of<'volume_decision'>, m: Measures): string {
  const set = ({ castNumber, occasion, takenOn, orderNumber }: typeof first): string =>
    `${castNumber === null ? OCCASIONS[occasion] : `Abdruck ${castNumber}`} vom ${tag(takenOn)}${first.orderNumber === second.orderNumber ? '' : ` (${orderNumber})`}`;
  const changed = `Stumpf um ${m.figure(Math.abs(of.percent), 1)} % ${of.percent < 0 ? 'kleiner' : 'größer'} (${m.figure(Math.abs(of.differenceMl), 1)} ml)`;
  const socks = `${Math.abs(of.ply)} Strumpflagen ${of.ply < 0 ? 'weniger' : 'mehr'}`;
  return `${changed} von ${set(first)} bis ${set(second)}, über ${m.figure(of.limitPercent, 1)} %, entspricht ${socks}; entschieden: ${de.fitting.decisions[of.decision]}${nach(', ', of.why)}`;
}

function laidUp(details: Of<'layup'>, m: Measures): string {
  const { layup, rule, why, layers, fabricMassG, wallThicknessMm } = details;
  const figures = `Wand ${m.small.of(wallThicknessMm, 1)} ${m.small.unit}, ${m.figure(fabricMassG, 0)} g Gewebe`;
  if (details.step === 'approved') return `Lagenaufbau ${layup} freigegeben: ${figures}`;
  const from =
    rule === null
      ? 'nicht nach den Regeln'
      : `nach Regeln, Fassung ${rule.version}${nach(', ', rule.row && `„${rule.row}“`)}`;
  const lines = layers.map((line) =>
    line.kind === 'tooling_plate'
      ? 'Laminierplatte'
      : `${line.fabric}: ${line.layers} ${line.layers === 1 ? 'Lage' : 'Lagen'}, ${wort(line.direction)}${line.reflected ? ', am distalen Ende umgeschlagen' : ''}`,
  );
  return `Lagenaufbau ${layup} entworfen ${from}${hinter(why)}: ${figures}; von innen nach außen: ${lines.join('; ')}`;
}

const paste = (pigmentG: number, m: Measures): string =>
  pigmentG === 0 ? '' : `, ${m.figure(pigmentG)} g Farbpaste`;

function recipeMade(details: Of<'recipe'>, m: Measures): string {
  const { recipe, layup, product, resinG, hardenerG, pigmentG, cups } = details;
  const ratio = `${m.figure(product.partsResin)}:${m.figure(product.partsHardener)}`;
  return `Harzansatz ${recipe} für Lagenaufbau ${layup}: ${product.name} ${ratio} nach ${product.document} ${product.revision}, ${m.figure(resinG)} g Harz, ${m.figure(hardenerG)} g Härter${paste(pigmentG, m)} in ${cups} Becher${cups === 1 ? '' : 'n'}`;
}

function weighed(details: Of<'weighing'>, m: Measures, warum: Warum): string {
  const { recipe, cup, attempt, putsRight, resinG, hardenerG, pigmentG, batches } = details;
  const how = putsRight ? 'korrigiert' : attempt === 1 ? 'eingewogen' : 'frisch eingewogen';
  const grams = `${m.figure(resinG)} g Harz, ${m.figure(hardenerG)} g Härter${paste(pigmentG, m)}`;
  const drawn = batches.map(
    ({ batchKind, lot, amount, unit }) =>
      `${wort(batchKind)} Charge ${lot}${nach(' ', amount === null ? null : `${m.figure(amount)} ${wort(unit)}`)}`,
  );
  const from = drawn.length === 0 ? '' : `; entnommen: ${drawn.join(', ')}`;
  const { offRatioPercent, ratioTolerancePercent, because } = details;
  const off = m.figure(Math.abs(offRatioPercent), 1);
  const hardener = `Härter ${off} % zu ${offRatioPercent < 0 ? 'wenig' : 'viel'}`;
  const onRatio = `im Verhältnis auf ${m.figure(ratioTolerancePercent)} %${off === '0' ? '' : ` (${hardener})`}`;
  const said = because.some(({ code }) => code === 'resin-off-ratio') ? hardener : onRatio;
  const ratio = because.length === 0 ? onRatio : `${said}; gestoppt: ${warum(because)}`;
  return `Becher ${cup} von Ansatz ${recipe} ${how}, ${grams}${from}; ${ratio}`;
}

function labelled(details: Of<'part_draft'>): string {
  const { issuer, deviceIdentifier, serial, lot, part, note } = details;
  const device = `${issuer} ${deviceIdentifier}`;
  if (details.step === 'scanned') {
    return `Etikett eines Produkts gescannt, das nicht im Katalog steht: ${device}${nach(', Seriennummer ', serial)}${nach(', Los ', lot)}`;
  }
  return part === null
    ? `Entwurf von ${device} verworfen${nach(': ', note)}`
    : `Entwurf von ${device} ist ein Passteil: ${part}`;
}
