/** What the bench worked out for a limb, in words: measures, decisions, layups, resin, labels. */
import { lineWords } from '../../domain/layupRules.ts';
import { figure } from '../../domain/reasons/figures.ts';
import type { TraceRow } from '../../store/traceTold.ts';
import { after, plain } from './plain.ts';

type Of<Kind extends TraceRow['kind']> = Extract<TraceRow, { kind: Kind }>['details'];

/** Rows of the kinds that are told here. */
type WorkedOut = Extract<
  TraceRow,
  { kind: 'measures' | 'volume_decision' | 'layup' | 'recipe' | 'weighing' | 'part_draft' }
>;

export function workedOut(row: WorkedOut): string {
  switch (row.kind) {
    case 'measures':
      return measured(row.details);
    case 'volume_decision':
      return decided(row.details);
    case 'layup':
      return laidUp(row.details);
    case 'recipe':
      return recipeMade(row.details);
    case 'weighing':
      return weighed(row.details);
    case 'part_draft':
      return labelled(row.details);
  }
}

function measured({ occasion, takenOn, measures, limbLengthMm, note }: Of<'measures'>): string {
  const around = measures.map(({ circumferenceMm }) => circumferenceMm);
  const girths = `${figure(Math.min(...around), 1)} to ${figure(Math.max(...around), 1)} mm around`;
  return `limb measured on ${takenOn} (${plain(occasion)}): ${measures.length} heights, ${girths}, ${figure(limbLengthMm, 1)} mm long${after('; ', note)}`;
}

const DECIDED = {
  new_cast: 'new cast',
  socks: 'socks',
  as_is: 'leave it as it is',
} as const satisfies Record<Of<'volume_decision'>['decision'], string>;

function decided(details: Of<'volume_decision'>): string {
  const { differenceMl, percent, ply, limitPercent, first, second, why } = details;
  const set = ({ castNumber, occasion, takenOn, orderNumber }: typeof first): string =>
    `${castNumber === null ? plain(occasion) : `cast ${castNumber}`} of ${takenOn}${first.orderNumber === second.orderNumber ? '' : ` (${orderNumber})`}`;
  const changed = `limb ${percent < 0 ? 'shrunk' : 'grown'} by ${figure(Math.abs(percent), 1)} % (${figure(Math.abs(differenceMl), 1)} mL)`;
  const socks = `${Math.abs(ply)} ply ${ply < 0 ? 'off' : 'on'}`;
  return `${changed} from ${set(first)} to ${set(second)}, past ${figure(limitPercent, 1)} %, worth ${socks}; decided: ${DECIDED[details.decision]}${after(', ', why)}`;
}

function laidUp(details: Of<'layup'>): string {
  const { layup, rule, why, layers, fabricMassG, wallThicknessMm } = details;
  const figures = `wall ${figure(wallThicknessMm, 1)} mm, ${figure(fabricMassG, 0)} g of fabric`;
  if (details.step === 'approved') return `layup ${layup} approved: ${figures}`;
  const from =
    rule === null
      ? 'not by the rules'
      : `by rules version ${rule.version}${after(', ', rule.row && `“${rule.row}”`)}`;
  const lines = layers.map((line) => lineWords(line, (name) => name));
  return `layup ${layup} drafted ${from}${after(' (', why)}${why === null ? '' : ')'}: ${figures}; inside to outside: ${lines.join('; ')}`;
}

function recipeMade(details: Of<'recipe'>): string {
  const { recipe, layup, product, resinG, hardenerG, cups } = details;
  const ratio = `${figure(product.partsResin)}:${figure(product.partsHardener)}`;
  const sheet = `${product.document} ${product.revision}`;
  return `resin recipe ${recipe} for layup ${layup}: ${product.name} ${ratio} by ${sheet}, ${figure(resinG)} g of resin, ${figure(hardenerG)} g of hardener${pigmentOf(details)} in ${cups} ${cups === 1 ? 'cup' : 'cups'}`;
}

const pigmentOf = ({ pigmentG }: { readonly pigmentG: number }): string =>
  pigmentG === 0 ? '' : `, ${figure(pigmentG)} g of pigment`;

function weighed(details: Of<'weighing'>): string {
  const { recipe, cup, attempt, putsRight, resinG, hardenerG, batches } = details;
  const how = putsRight ? 'put right' : attempt === 1 ? 'weighed' : 'weighed afresh';
  const grams = `${figure(resinG)} g of resin, ${figure(hardenerG)} g of hardener${pigmentOf(details)}`;
  const drawn = batches.map(
    ({ batchKind, lot, amount, unit }) =>
      `${plain(batchKind)} lot ${lot}${after(' ', amount === null ? null : `${figure(amount)} ${unit}`)}`,
  );
  const from = drawn.length === 0 ? '' : `; drawn: ${drawn.join(', ')}`;
  return `cup ${cup} of recipe ${recipe} ${how}, ${grams}${from}; ${onRatio(details)}`;
}

/** Whether it was on ratio; and what stopped the work, as it was told at the scale. */
function onRatio(details: Of<'weighing'>): string {
  const { offRatioPercent, ratioTolerancePercent, because } = details;
  const off = figure(Math.abs(offRatioPercent), 1);
  const hardener = `hardener ${off} % ${offRatioPercent < 0 ? 'too little' : 'too much'}`;
  const ratio = `on ratio within ${figure(ratioTolerancePercent)} %${off === '0' ? '' : ` (${hardener})`}`;
  const stops = because.map(({ detail }) => detail).join(' ');
  if (because.length === 0) return ratio;
  return because.some(({ code }) => code === 'resin-off-ratio')
    ? `stopped: ${stops}`
    : `${ratio}; stopped: ${stops}`;
}

function labelled(details: Of<'part_draft'>): string {
  const { issuer, deviceIdentifier, serial, lot, part, note } = details;
  const device = `${issuer} ${deviceIdentifier}`;
  if (details.step === 'scanned') {
    return `label of a device not in the catalogue scanned: ${device}${after(', serial ', serial)}${after(', lot ', lot)}`;
  }
  return part === null
    ? `draft of ${device} set aside${after(': ', note)}`
    : `draft of ${device} made a part: ${part}`;
}
