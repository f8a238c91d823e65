/** The recall of a lot or batch: who wears it, where the rest is, and taking it out of use. */
import { lookedUp } from '../../access/lookUp.ts';
import type { Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { names } from '../../domain/corrections.ts';
import { reason } from '../../domain/reasons/index.ts';
import {
  callsLeft,
  reckonBatch,
  reckonLot,
  stationOfSocket,
  type RecallStation,
} from '../../domain/recall.ts';
import type { Act } from '../../store/act.ts';
import {
  correctionsBeside,
  correctionsNaming,
  handedOver,
  type CorrectionRow,
} from '../../store/corrections.ts';
import { insertMove, singlePlace } from '../../store/custody.ts';
import { loadClinic, type ClinicSettings } from '../../store/clinic.ts';
import {
  alreadyFound,
  batchUses,
  countLot,
  lotPieces,
  lotReceipts,
  type Holding,
  type LotPiece,
} from '../../store/recall.ts';
import { callsOf, type CallRow } from '../../store/recallCalls.ts';
import { found, refuseIfAny } from '../../store/refused.ts';
import { findBatches, staysOf } from '../../store/trace.ts';
import { correctedTo } from '../rights/corrected.ts';
import { openFinding } from '../findings/open.ts';
import { namedBy } from './ask.ts';
import { patientToCall } from './patientToCall.ts';
import type { LotQuarantined, QuarantineLot, RecallQuery, RecallView } from './schemas.ts';

/** Pieces or uses that one answer holds; more would not be read by anybody. Common practice, no source. */
const MOST_PIECES = 20_000;
const MOST_STAYS = 20_000;

/**
 * Runs a recall and notes who ran it ('recall.read').
 * @throws Refused 'trace-needs-one-key', 'not-found', 'recall-too-large', 'recall-lot-of-several-batches'
 */
export async function readRecall(act: Act, query: RecallQuery): Promise<RecallView> {
  const { lot, batch, part } = query;
  const given = [lot === undefined ? [] : ['lot'], batch === undefined ? [] : ['batch']].flat();
  if (lot !== undefined && batch === undefined) return recallOfLot(act, lot, part);
  if (batch !== undefined && lot === undefined && part === undefined) {
    return recallOfBatch(act, batch);
  }
  refuseIfAny([
    reason('trace-needs-one-key', {
      keys: ['lot (with or without part)', 'batch'],
      given: part === undefined ? given : [...given, 'part'],
    }),
  ]);
  throw new Error('A recall was asked by neither lot nor batch.');
}

async function recallOfLot(act: Act, lot: string, partId: string | undefined): Promise<RecallView> {
  refuseIfTooMany(await countLot(act, lot, partId));
  const pieces = await lotPieces(act, lot, partId);
  const first = found(pieces[0], () => reason('not-found', { what: 'lot', id: lot }, '/lot'));
  const reckoning = reckonLot({
    enteredIds: pieces.map(({ itemId }) => itemId),
    receiptIds: await lotReceipts(act, lot, partId),
    placed: pieces.flatMap(({ itemId, place, holding }) =>
      place === null
        ? []
        : [{ itemId, placeKind: place.kind, socketState: holding?.socketState ?? null }],
    ),
  });
  const stays = await staysOf(act, { itemIds: pieces.map(({ itemId }) => itemId) }, MOST_STAYS + 1);
  const inSockets = pieces.flatMap(({ holding, label, position }) =>
    holding === null ? [] : [{ holding, what: `${label}, ${position ?? ''}`, useId: null }],
  );
  act.record({
    kind: 'recall.read',
    subjectKind: 'part',
    subjectId: first.partId,
    data: { lot, partId: partId ?? null, pieces: pieces.length, reconciles: reckoning.reconciles },
  });
  return {
    kind: 'lot',
    lot,
    parts: partsOf(pieces),
    received: reckoning.received,
    counts: { ...reckoning.counts },
    accountedFor: reckoning.accountedFor,
    reconciles: reckoning.reconciles,
    unclear: [...reckoning.unclear],
    ...(await bySocket(act, inSockets, { calls: await callsOf(act, { lot }), lot })),
    elsewhere: pieces.flatMap(({ itemId, label, place, holding }) =>
      holding === null ? [{ itemId, label, place: place?.name ?? 'never received' }] : [],
    ),
    passedThrough: stays.slice(0, MOST_STAYS),
    passedThroughCut: stays.length > MOST_STAYS,
  };
}

async function recallOfBatch(act: Act, value: string): Promise<RecallView> {
  const batches = await findBatches(act, namedBy(value));
  const batch = found(batches[0], () =>
    reason('not-found', { what: 'batch', id: value }, '/batch'),
  );
  if (batches.length > 1) {
    const names = batches.map((each) => `${each.name} (${each.batchKind}, ${each.id})`);
    refuseIfAny([reason('recall-lot-of-several-batches', { lot: batch.lot, batches: names })]);
  }
  refuseIfTooMany(batch.uses);
  const uses = await batchUses(act, batch.id, MOST_PIECES);
  const { used, usesWithoutAmount, leftByBook, reconciles, counts } = reckonBatch(
    batch.quantity,
    uses,
  );
  act.record({
    kind: 'recall.read',
    subjectKind: 'batch',
    subjectId: batch.id,
    data: { batchId: batch.id, uses: uses.length, reconciles },
  });
  const inSockets = uses.map((use) => ({
    holding: use,
    useId: use.useId,
    what: `${batch.name} lot ${batch.lot}${use.amount === null ? '' : `, ${use.amount} ${use.unit}`}${use.usedFor === null ? '' : ` for ${use.usedFor}`}`,
  }));
  return {
    kind: 'batch',
    batch,
    used,
    usesWithoutAmount,
    leftByBook,
    reconciles,
    counts: { ...counts },
    ...(await bySocket(act, inSockets, {
      calls: await callsOf(act, { batchId: batch.id }),
      lot: batch.lot,
    })),
  };
}

/** A recall with what its paper says beside it. */
export async function recallForPaper(
  act: Act,
  query: RecallQuery,
): Promise<{ recall: RecallView; clinic: ClinicSettings; at: Date; askedBy: string }> {
  return {
    recall: await readRecall(act, query),
    clinic: await loadClinic(act.tx, act.clinicId),
    at: act.at,
    askedBy: act.by.printedName,
  };
}

/**
 * Takes a lot out of use: what lies in bins, at receiving or on the bench goes to
 * quarantine, and every socket in work or worn that holds a piece gets a finding,
 * which stands in the way of its delivery and of closing a service visit. Done
 * again, it finds nothing left to do.
 * @throws Refused 'not-found', 'recall-lot-of-several-parts', 'recall-too-large', or 'item-is-elsewhere'
 *   where somebody moved a piece at the same moment: nothing is done then, and the same request may go again
 */
export async function quarantineLot(act: Act, asked: QuarantineLot): Promise<LotQuarantined> {
  const { lot, partId, why } = asked;
  refuseIfTooMany(await countLot(act, lot, partId));
  const pieces = await lotPieces(act, lot, partId);
  const first = found(pieces[0], () => reason('not-found', { what: 'lot', id: lot }, '/lot'));
  const parts = partsOf(pieces);
  if (parts.length > 1) {
    const names = parts.map(({ id, name }) => `${name} (${id})`);
    refuseIfAny([reason('recall-lot-of-several-parts', { lot, parts: names }, '/partId')]);
  }
  const moved = await moveToQuarantine(act, pieces, why);
  const findings = await openFindings(act, pieces, lot, why);
  act.record({
    kind: 'lot.recalled',
    subjectKind: 'part',
    subjectId: first.partId,
    data: {
      lot,
      why,
      moved: moved.map(({ itemId }) => itemId),
      findings: findings.findings.map(({ findingId }) => findingId),
    },
  });
  return { lot, partId: first.partId, moved, ...findings };
}

/** Where a piece can simply be taken away. */
const TAKEN_AWAY = new Set(['bin', 'receiving', 'bench']);

async function moveToQuarantine(act: Act, pieces: readonly LotPiece[], why: string) {
  const quarantine = await singlePlace(act.tx, act.clinicId, 'quarantine');
  const moved: LotQuarantined['moved'] = [];
  for (const { itemId, label, place } of pieces) {
    if (place === null || !TAKEN_AWAY.has(place.kind)) continue;
    const moveId = await insertMove(act, {
      thing: { itemId },
      fromPlaceId: place.id,
      toPlaceId: quarantine.id,
      reason: 'recalled',
      note: why,
    });
    moved.push({ itemId, label, from: place.name, moveId });
  }
  return moved;
}

const STATIONS_WITH_FINDING: readonly RecallStation[] = ['worn', 'inWork'];

async function openFindings(act: Act, pieces: readonly LotPiece[], lot: string, why: string) {
  const holding = pieces.flatMap((piece) =>
    piece.holding !== null &&
    STATIONS_WITH_FINDING.includes(stationOfSocket(piece.holding.socketState))
      ? [{ holding: piece.holding, what: piece.label }]
      : [],
  );
  const sockets = grouped(holding);
  // The lot's name ends here, so that lot 12 is not taken for lot 123.
  const noteBegin = `Recall of lot ${lot}: `;
  const before = await alreadyFound(
    act,
    sockets.map(({ holding: { socketId } }) => socketId),
    noteBegin,
  );
  const findings: LotQuarantined['findings'] = [];
  const alreadyFoundNumbers: string[] = [];
  for (const {
    holding: { socketId, socketNumber, orderId },
    pieces: held,
  } of sockets) {
    if (before.has(socketId)) {
      alreadyFoundNumbers.push(socketNumber);
      continue;
    }
    const socket = { id: socketId, number: socketNumber, orderId };
    const note = `${noteBegin}${held.join(', ')}. ${why}`;
    const findingId = await openFinding(act, socket, { kind: 'recalled_part', note });
    findings.push({ findingId, socketId, socketNumber });
  }
  return { findings, alreadyFound: alreadyFoundNumbers };
}

interface InSocket {
  readonly holding: Holding;
  readonly what: string;
}

/** What is in each socket, one line a socket, in the order first met. */
function grouped(
  lines: readonly InSocket[],
): { readonly holding: Holding; readonly pieces: string[] }[] {
  const sockets = new Map<string, { holding: Holding; pieces: string[] }>();
  for (const { holding, what } of lines) {
    const line = sockets.get(holding.socketId) ?? { holding, pieces: [] };
    line.pieces.push(what);
    sockets.set(holding.socketId, line);
  }
  return [...sockets.values()];
}

async function bySocket(
  act: Act,
  lines: readonly (InSocket & { readonly useId: string | null })[],
  { calls, lot }: { readonly calls: readonly CallRow[]; readonly lot: string },
) {
  const sight = await sightOf(act);
  const sockets = grouped(lines);
  const { corrected, named: inWords } = await correctionsOn(act, sight, lines, lot);
  const at = (station: RecallStation) =>
    sockets.filter(({ holding }) => stationOfSocket(holding.socketState) === station);
  const plain = ({ holding, pieces }: { holding: Holding; pieces: string[] }) => ({
    socketId: holding.socketId,
    socketNumber: holding.socketNumber,
    socketKind: holding.socketKind,
    socketState: holding.socketState,
    orderId: holding.orderId,
    orderNumber: holding.orderNumber,
    chartNumber: holding.chartNumber,
    pieces,
    corrections: corrected(holding.socketId),
  });
  const wearers = at('worn').map(({ holding, pieces }) => ({
    ...patientToCall(holding, sight),
    orderId: holding.orderId,
    orderNumber: holding.orderNumber,
    socketId: holding.socketId,
    socketNumber: holding.socketNumber,
    deliveredAt: holding.deliveredAt,
    pieces,
    calls: calls.filter(({ socketId }) => socketId === holding.socketId),
    corrections: corrected(holding.socketId),
  }));
  const named = wearers.filter(({ patient }) => patient.familyName !== undefined);
  await lookedUp(act, {
    route: 'readRecall',
    shown: named.some(({ phone }) => phone !== null) ? 'contact' : 'identity',
    patientIds: named.map(({ patient }) => patient.id),
    told: true,
  });
  return {
    wearers,
    calls: callsLeft(wearers),
    inWork: at('inWork').map(plain),
    inRetired: at('inRetired').map(plain),
    named: inWords,
  };
}

/** Corrections of what puts each socket on the list; and every other one whose words name the lot. */
async function correctionsOn(
  act: Act,
  sight: Sight,
  lines: readonly (InSocket & { readonly useId: string | null })[],
  lot: string,
) {
  const uses = lines.flatMap(({ holding: { socketId }, useId }) =>
    useId === null ? [] : [{ socketId, id: useId }],
  );
  const deciding = [
    ...uses,
    ...(await handedOver(
      act,
      lines.map(({ holding }) => holding.socketId),
    )),
  ];
  const beside = await correctionsBeside(
    act,
    deciding.map(({ id }) => id),
  );
  const bySocketId = new Map<string, Map<string, CorrectionRow>>();
  for (const { socketId, id } of deciding) {
    const known = bySocketId.get(socketId) ?? new Map<string, CorrectionRow>();
    for (const row of beside.get(id) ?? []) known.set(row.id, row);
    bySocketId.set(socketId, known);
  }
  const told = correctedTo(sight);
  const shown = new Set([...bySocketId.values()].flatMap((rows) => [...rows.keys()]));
  const naming = (await correctionsNaming(act, lot)).filter(
    ({ id, wrong, right, why }) =>
      !shown.has(id) && [wrong, right, why].some((text) => names(text, lot)),
  );
  return {
    corrected: (socketId: string) => [...(bySocketId.get(socketId)?.values() ?? [])].map(told),
    named: naming.map((row) => ({
      orderId: row.orderId,
      orderNumber: row.orderNumber,
      chartNumber: row.chartNumber,
      correction: told(row),
    })),
  };
}

function partsOf(pieces: readonly LotPiece[]): { id: string; name: string; pieces: number }[] {
  const parts = new Map<string, { id: string; name: string; pieces: number }>();
  for (const { partId, part } of pieces) {
    const line = parts.get(partId) ?? { id: partId, name: part, pieces: 0 };
    line.pieces += 1;
    parts.set(partId, line);
  }
  return [...parts.values()];
}

function refuseIfTooMany(pieces: number): void {
  if (pieces > MOST_PIECES) {
    refuseIfAny([reason('recall-too-large', { pieces, limit: MOST_PIECES })]);
  }
}
