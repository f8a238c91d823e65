/** What the trace was asked about, as much of it as the reader's role sees. */
import { Link } from 'wouter-preact';
import type { SubjectKind } from '../../domain/eventKinds.ts';
import type { Schemas } from '../api.ts';
import { historyPage, orderPage, recallPage, tracePage } from '../links.ts';
import { Facts } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { inFigures } from '../words/figures.ts';
import { dayWords, words } from '../words/words.ts';

type Subject = Schemas['Trace']['subject'];
type Patient = Extract<Subject, { kind: 'patient' }>['patient'];

export const patientWords = ({ chartNumber, givenName, familyName, initials }: Patient): string =>
  familyName === undefined || givenName === undefined
    ? `${chartNumber} · ${initials}`
    : `${familyName}, ${givenName} · ${chartNumber}`;

const orderLink = (id: string, number: string) => <Link href={orderPage(id)}>{number}</Link>;

/** From what was traced to what was changed about it. */
const historyLink = (kind: SubjectKind, id: string) => (
  <Link href={historyPage(kind, id)}>{words.value.audit.history}</Link>
);

/** From the trace to the drill, for those who may run it. */
const recallLink = (of: 'lot' | 'batch', key: string, said = key) =>
  may('front_desk', 'prosthetist', 'auditor', 'administrator') ? (
    <Link href={recallPage(of, key)}>{words.value.audit.lotWords(said)}</Link>
  ) : null;

export function TraceSubject({ subject }: { subject: Subject }) {
  const { audit: say, sides, levels, stages, suspensions, roles, fitting, bench } = words.value;
  switch (subject.kind) {
    case 'patient':
      return (
        <Facts
          of={[
            [say.keys.patient, patientWords(subject.patient)],
            [
              say.orders,
              subject.orders.map(({ id, number }) => <p key={id}>{orderLink(id, number)}</p>),
            ],
            [say.history, historyLink('patient', subject.patient.id)],
          ]}
        />
      );
    case 'order': {
      const { order, patient, sockets } = subject;
      return (
        <Facts
          of={[
            [say.keys.order, orderLink(order.id, order.number)],
            [say.keys.patient, patientWords(patient)],
            [
              say.limb,
              `${sides[order.side]}, ${levels[order.level]}, ${suspensions[order.suspension]}`,
            ],
            [say.stage, stages[order.stage]],
            [
              say.sockets,
              sockets.map(({ id, number, state }) => (
                <p key={id}>
                  <Link href={tracePage('socket', number)}>{number}</Link>{' '}
                  {fitting.socketStates[state]}
                </p>
              )),
            ],
            [say.history, historyLink('order', order.id)],
          ]}
        />
      );
    }
    case 'socket': {
      const { socket, patient } = subject;
      return (
        <Facts
          of={[
            [say.keys.socket, socket.number],
            [
              say.state,
              `${fitting.socketKinds[socket.socketKind]}, ${fitting.socketStates[socket.state]}`,
            ],
            [say.keys.order, orderLink(socket.orderId, socket.orderNumber)],
            [say.keys.patient, patientWords(patient)],
            [fitting.cast, String(socket.castNumber)],
            [say.replaces, socket.replaces],
            [say.replacedBy, socket.replacedBy],
            [say.history, historyLink('socket', socket.id)],
          ]}
        />
      );
    }
    case 'pieces':
      return (
        <>
          <p>{say.pieces(subject.count)}</p>
          {subject.pieces.map((piece) => (
            <Facts
              key={piece.id}
              of={[
                [say.piece, piece.label],
                [say.part, <Link href={historyPage('part', piece.partId)}>{piece.part}</Link>],
                [say.keys.serial, piece.serial],
                [
                  say.keys.lot,
                  piece.lot && <Link href={tracePage('lot', piece.lot)}>{piece.lot}</Link>,
                ],
                [say.udi, piece.udi],
                [say.expires, piece.expiresOn && dayWords(piece.expiresOn)],
                [say.now, piece.now],
                [say.recallTitle, piece.lot && recallLink('lot', piece.lot)],
                [say.history, historyLink('item', piece.id)],
              ]}
            />
          ))}
        </>
      );
    case 'batches':
      return (
        <>
          {subject.batches.map((batch) => (
            <Facts
              key={batch.id}
              of={[
                [say.keys.batch, `${batch.name}, ${say.lotWords(batch.lot)}`],
                [
                  say.received,
                  `${inFigures(batch.quantity, 3)} ${bench.units[batch.unit]}, ${dayWords(batch.receivedOn)}`,
                ],
                [say.expires, batch.expiresOn && dayWords(batch.expiresOn)],
                [
                  say.used,
                  `${inFigures(batch.usedAmount, 3)} ${bench.units[batch.unit]} · ${say.uses(batch.uses)}`,
                ],
                [say.quarantined, batch.quarantineReason],
                [say.recallTitle, recallLink('batch', batch.id, batch.lot)],
                [say.history, historyLink('batch', batch.id)],
              ]}
            />
          ))}
        </>
      );
    case 'tool':
      return (
        <Facts
          of={[
            [say.keys.tool, subject.tool.name],
            [say.keys.serial, subject.tool.serial],
            [say.state, subject.tool.outOfService ? say.outOfService : say.inService],
            [say.now, subject.tool.now],
            [say.history, historyLink('shop_tool', subject.tool.id)],
          ]}
        />
      );
    case 'person':
      return (
        <Facts
          of={[
            [say.keys.person, subject.person.printedName],
            [say.roles, subject.person.roles.map((role) => roles[role]).join(', ')],
            [say.state, subject.person.active ? say.active : say.notActive],
            [say.history, historyLink('person', subject.person.id)],
          ]}
        />
      );
  }
}
