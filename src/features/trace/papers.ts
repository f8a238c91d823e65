/** From the answers of trace and recall to what their papers print. */
import { recallReport, traceReport, type StayLine } from '../../documents/traceReport.ts';
import type { ClinicSettings } from '../../store/clinic.ts';
import type { Stay } from '../../store/trace.ts';
import { correctedWords } from '../../domain/corrections.ts';
import { instantWords } from '../../documents/dates.ts';
import { spokenFirst } from '../../documents/words.ts';
import type { Corrected } from '../rights/corrected.ts';
import { plain } from './plain.ts';
import type { RecallView, TraceSubject } from './schemas.ts';
import type { Trace } from './service.ts';
import { countsOf, nameOf } from './words.ts';

interface Beside {
  readonly clinic: ClinicSettings;
  readonly at: Date;
  readonly askedBy: string;
}

const frameOf = ({ clinic, at, askedBy }: Beside) => ({
  paper: clinic.paper,
  clinic: clinic.name,
  timeZone: clinic.timeZone,
  madeAt: at,
  askedBy,
});

/** Each in a sentence, in the clinic's zone (R16). */
const correctionsIn =
  ({ clinic }: Beside) =>
  (corrections: readonly Corrected[]): string[] =>
    corrections.map((each) =>
      correctedWords(each, instantWords(each.correctedAt.toISOString(), clinic.timeZone)),
    );

export function tracePaper({ trace, ...beside }: { readonly trace: Trace } & Beside) {
  const corrections = correctionsIn(beside);
  return traceReport({
    ...frameOf(beside),
    askedFor: `${trace.asked.by} ${trace.asked.value}`,
    subject: subjectLines(trace.subject),
    rows: trace.rows.map((row) => ({
      at: row.at.toISOString(),
      what: [row.what, ...corrections(row.corrections)].join('\n'),
      where: row.socketNumber ?? row.orderNumber ?? '',
      chartNumber: row.chartNumber ?? '',
      who: row.who ?? '',
    })),
    stays: trace.chain.map(stayLine),
    cuts: [
      ...(trace.next === null
        ? []
        : [
            `Cut after ${trace.rows.length} records: there are more. Ask for the CSV, or again with after=${trace.next}`,
          ]),
      ...(trace.chainCut
        ? [`The way through sockets is cut after ${trace.chain.length} lines.`]
        : []),
    ],
  });
}

export function recallPaper({ recall, ...beside }: { readonly recall: RecallView } & Beside) {
  const corrections = correctionsIn(beside);
  // Of which record: what stands on the line is the piece.
  const named = (of: readonly Corrected[]): string[] =>
    of.map((each) => `${spokenFirst(each.subjectKind)}: ${corrections([each]).join('')}`);
  return recallReport({
    ...frameOf(beside),
    askedFor:
      recall.kind === 'lot'
        ? `lot ${recall.lot}: ${recall.parts.map((part) => part.name).join(', ')}`
        : `${recall.batch.batchKind} ${recall.batch.name}, lot ${recall.batch.lot}`,
    counts: countsOf(recall),
    wearers: recall.wearers.map(
      ({ patient, phone, socketNumber, pieces, calls, corrections: corrected }) => ({
        called: calls[0] === undefined ? '' : `${plain(calls[0].outcome)}, ${calls[0].calledBy}`,
        patient: `${patient.chartNumber} ${nameOf(patient) ?? patient.initials}`,
        phone: phone ?? '',
        socket: socketNumber,
        pieces: [pieces.join('; '), ...named(corrected)],
      }),
    ),
    named: recall.named.map(({ chartNumber, orderNumber, correction }) => ({
      where: orderNumber ?? '',
      chartNumber,
      of: spokenFirst(correction.subjectKind),
      words: corrections([correction]).join(' '),
    })),
    others: [
      ...[...recall.inWork, ...recall.inRetired].map((socket) => ({
        where: `${socket.socketNumber} (${plain(socket.socketState)})`,
        pieces: [socket.pieces.join('; '), ...named(socket.corrections)].join('\n'),
      })),
      ...(recall.kind === 'lot' ? byPlace(recall.elsewhere) : []),
    ],
    stays: recall.kind === 'lot' ? recall.passedThrough.slice(0, MOST_STAYS).map(stayLine) : [],
    cuts:
      recall.kind === 'lot' && (recall.passedThroughCut || recall.passedThrough.length > MOST_STAYS)
        ? [`The list of sockets it was in is cut after ${MOST_STAYS} lines; the CSV has more.`]
        : [],
  });
}

/** Lines of stays on one paper; common practice, no source. */
const MOST_STAYS = 2000;

const stayLine = (stay: Stay): StayLine => ({
  thing: stay.thing,
  socket: stay.socketNumber,
  position: plain(stay.position),
  chartNumber: stay.chartNumber,
  enteredAt: stay.enteredAt.toISOString(),
  leftAt: stay.leftAt?.toISOString() ?? null,
  leftTo: stay.leftTo,
});

/** Hundreds of screws in one bin are one line, with their number. */
function byPlace(
  pieces: readonly { readonly label: string; readonly place: string }[],
): { where: string; pieces: string }[] {
  const places = new Map<string, Map<string, number>>();
  for (const { label, place } of pieces) {
    const labels = places.get(place) ?? new Map<string, number>();
    labels.set(label, (labels.get(label) ?? 0) + 1);
    places.set(place, labels);
  }
  return [...places].map(([where, labels]) => ({
    where,
    pieces: [...labels]
      .map(([label, count]) => (count === 1 ? label : `${count} × ${label}`))
      .join('; '),
  }));
}

function subjectLines(subject: TraceSubject): string[] {
  switch (subject.kind) {
    case 'patient':
      return [
        `Patient ${subject.patient.chartNumber}, ${nameOf(subject.patient) ?? subject.patient.initials}`,
        ...subject.orders.map(
          (order) => `Order ${order.number}: ${order.side}, ${plain(order.stage)}`,
        ),
      ];
    case 'order':
      return [
        `Order ${subject.order.number}: ${subject.order.side}, ${plain(subject.order.level)}, ${plain(subject.order.stage)}`,
        `Patient ${subject.patient.chartNumber}, ${nameOf(subject.patient) ?? subject.patient.initials}`,
        ...subject.sockets.map((socket) => `Socket ${socket.number}: ${plain(socket.state)}`),
      ];
    case 'socket':
      return [
        `Socket ${subject.socket.number}: ${subject.socket.socketKind}, ${plain(subject.socket.state)}, from cast ${subject.socket.castNumber}`,
        `Patient ${subject.patient.chartNumber}, ${nameOf(subject.patient) ?? subject.patient.initials}`,
      ];
    case 'pieces':
      return [
        ...subject.pieces.map(
          (piece) =>
            `${piece.label}${piece.expiresOn === null ? '' : `, to be used until ${piece.expiresOn}`}: now ${piece.now ?? 'nowhere on record'}`,
        ),
        ...(subject.count > subject.pieces.length
          ? [`and ${subject.count - subject.pieces.length} more pieces`]
          : []),
      ];
    case 'batches':
      return subject.batches.map(
        (batch) =>
          `${plain(batch.batchKind)} ${batch.name}, lot ${batch.lot}: received ${batch.receivedOn}, ${batch.quantity} ${batch.unit}, ${batch.usedAmount} ${batch.unit} in ${batch.uses} uses`,
      );
    case 'tool':
      return [
        `${subject.tool.name} (${plain(subject.tool.toolKind)})${subject.tool.outOfService ? ', out of service' : ''}`,
      ];
    case 'person':
      return [`${subject.person.printedName}: ${subject.person.roles.map(plain).join(', ')}`];
  }
}
