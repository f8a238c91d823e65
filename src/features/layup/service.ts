/** Layups of definitive sockets: what the rules propose, the draft, the signature on it (C2). */
import { proposeLayup } from '../../domain/layup.ts';
import { judgeAgainstProposal, judgeNewDraft, questionWall } from '../../domain/layupDraft.ts';
import { reason } from '../../domain/reasons/index.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { plainJson } from '../../store/json.ts';
import {
  approveLayup,
  layupStateOf,
  loadLayup,
  newestLayup,
  writeLayup,
} from '../../store/layups.ts';
import { loadOperations } from '../../store/operations.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadSocket, type SocketFacts } from '../../store/sockets.ts';
import { refuseUnlessInWork, setState } from '../sockets/operations.ts';
import { loadLayupFacts, resinFor, workOut } from './facts.ts';
import type { LayupToDraft, LayupView, ProposalView } from './schemas.ts';
import { basisChanges } from './standing.ts';
import { FORMULAS, layersInWords, layupView } from './view.ts';

/**
 * What the rules in force propose for a socket and its wearer today, worked out.
 * @throws Refused where they propose nothing: then the prosthetist writes it
 */
export async function readProposal(
  act: Act,
  socketId: string,
  resinProductId: string | undefined,
): Promise<ProposalView> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  const facts = await loadLayupFacts(act, socket);
  const { patient, shape, rules, fabrics } = facts;
  const { lines, row, rulesVersion } = orRefuse(proposeLayup(patient, shape, rules, fabrics));
  const resin = await resinFor(act, resinProductId);
  const worked = workOut(facts, lines, resin, rules.fibreMassFraction);
  return {
    socketId,
    socketNumber: socket.number,
    row: { version: rulesVersion, name: row },
    lines,
    inWords: layersInWords(lines, worked.basis),
    formulas: FORMULAS,
    ...worked,
  };
}

/** The newest layup of a socket. @throws Refused 'not-found' where none was drafted. */
export async function readNewestLayup(act: Act, socketId: string): Promise<LayupView> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  const newest = await newestLayup(act, socketId);
  return layupView(
    found(newest, () => reason('not-found', { what: 'layup of socket', id: socket.number })),
  );
}

/**
 * Drafts a layup, worked out from the facts of today; it supersedes the one before.
 * @throws Refused with everything against its layers; 'value-out-of-range' for their thickness; 'layup-why-missing' where it is not what
 *   the rules propose, 'layup-approved-before' where it supersedes an approved one, and nobody says why
 */
export async function draftLayup(
  act: Act,
  socketId: string,
  input: LayupToDraft,
): Promise<LayupView> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  const facts = await loadLayupFacts(act, socket);
  refuseUnlessInWork(socket);
  const before = await layupStateOf(act, socketId);
  const why = input.why ?? null;
  const laminated = await isLaminated(act, socketId);
  refuseIfAny(judgeNewDraft(before, { socket: socket.number, laminated, why }));

  const { patient, shape, rules, fabrics, ruleSetId } = facts;
  const { lines } = input;
  const fibreMassFraction = input.fibreMassFraction ?? rules.fibreMassFraction;
  const resin = await resinFor(act, input.resinProductId);
  const worked = workOut(facts, lines, resin, fibreMassFraction);
  refuseIfAny(questionWall(worked.figures));
  const proposal = proposeLayup(patient, shape, rules, fabrics);
  const { asProposed } = orRefuse(
    judgeAgainstProposal({ lines, fibreMassFraction }, proposal, rules, why),
  );
  const rule = asProposed && proposal.ok ? { setId: ruleSetId, row: proposal.value.row } : null;
  const { id, running } = await writeLayup(act, before, { socketId, rule, lines, why, ...worked });
  act.record({
    kind: 'layup.drafted',
    subjectKind: 'layup',
    subjectId: id,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      layup: running,
      row: rule?.row ?? null,
      rulesVersion: rules.version,
      layers: layersInWords(lines, worked.basis),
      why,
      supersedes: before?.running ?? null,
      supersedesApproved: before?.approved ?? false,
    },
  });
  return layupView(await loadLayup(act, id));
}

/**
 * A prosthetist approves a layup: the signature is bound to its layers, its
 * figures and all that they were worked out from. What was laid up by another
 * one is laid up anew.
 * @throws Refused where it is superseded, approved or in resin already, or where its basis no longer holds
 */
export async function approve(act: Act, layupId: string, signer: Signer): Promise<LayupView> {
  const { socketId } = await loadLayup(act, layupId);
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  // Read again: who held the socket may have superseded or approved it.
  const layup = await loadLayup(act, layupId);
  const { running, lines, ruleRow, why, basis, figures } = layup;
  if (layup.supersededAt !== null) {
    throw new Refused([reason('layup-is-superseded', { layup: running })]);
  }
  if (layup.approvedAt !== null) {
    throw new Refused([reason('layup-already-approved', { layup: running })]);
  }
  refuseUnlessInWork(socket);
  if (await isLaminated(act, socketId)) {
    throw new Refused([reason('layup-already-laminated', { socket: socket.number })]);
  }
  const changed = await basisChanges(act, socket, basis);
  if (changed.length > 0) {
    throw new Refused([reason('layup-basis-changed', { layup: running, changed })]);
  }
  const signature = await sign(act, {
    signer,
    meaning: 'layup_approved',
    subjectKind: 'layup',
    subjectId: layupId,
    orderId: socket.orderId,
    content: plainJson({
      socket: socket.number,
      layup: running,
      lines,
      ruleRow,
      why,
      basis,
      figures,
    }),
  });
  await approveLayup(act, layupId, signature.id);
  act.record({
    kind: 'layup.approved',
    subjectKind: 'layup',
    subjectId: layupId,
    orderId: socket.orderId,
    data: { socket: socket.number, layup: running, signatureId: signature.id },
  });
  await layUpAnew(act, socket, running);
  return layupView(await loadLayup(act, layupId));
}

/** The fabric on the model is of another layup than the one approved now: laying up is to be recorded again. */
async function layUpAnew(act: Act, socket: SocketFacts, running: number): Promise<void> {
  for (const operation of await loadOperations(act.tx, act.clinicId, socket.id)) {
    const { id, kind, title, state, attempts } = operation;
    const laid = state === 'done' || (state === 'stopped' && attempts > 0);
    if (kind !== 'lay_up' || !laid) continue;
    await setState(act, operation, 'waiting');
    act.record({
      kind: 'operation.to_do_again',
      subjectKind: 'operation',
      subjectId: id,
      orderId: socket.orderId,
      data: {
        socket: socket.number,
        operation: title,
        before: state,
        after: 'waiting',
        why: `Layup ${running} was approved after the fabric was laid by another one.`,
      },
    });
  }
}

/** Resin may have been drawn through: an attempt is on record, whatever was found and done about it. */
async function isLaminated(act: Act, socketId: string): Promise<boolean> {
  const operations = await loadOperations(act.tx, act.clinicId, socketId);
  return operations.some(
    ({ kind, state, attempts }) => kind === 'laminate' && (attempts > 0 || state === 'done'),
  );
}
