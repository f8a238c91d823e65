import { inUnits, ofSmall } from './measures.ts';
import { entry } from './reason.ts';

/** What stands between a socket and its delivery or the end of a service visit (R8, R14, R15). */
export const DELIVERY_REASONS = {
  'operation-not-done': entry<{ operation: string; state: string; socket: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'An operation is not done',
    words: (f) => `“${f.operation}” of ${f.socket} is ${f.state}.`,
    wayOut: (f) => `Do “${f.operation}” and record it.`,
  }),
  'joint-open': entry<{ socket: string; joint: string; why: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'A joint is open',
    words: (f) => `Joint ${f.joint} of ${f.socket}: ${f.why}.`,
    wayOut: () => 'Torque every fastener of the joint in order and record the readings.',
  }),
  'joint-in-doubt': entry<{ socket: string; joint: string; why: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'A joint is in doubt',
    words: (f) => `Joint ${f.joint} of ${f.socket}: ${f.why}. Its readings prove nothing.`,
    wayOut: () =>
      'Torque every fastener again with a tool whose calibration holds; take fresh screws where the threadlocker on them has set.',
  }),
  'joint-without-setting': entry<{ socket: string; joint: string; part: string }>({
    rule: 'R4',
    kind: 'rule',
    title: 'No torque setting for the joint',
    words: (f) => `Nothing in joint ${f.joint} of ${f.socket} has a setting on record (${f.part}).`,
    wayOut: () => "An administrator enters the maker's setting with its document and revision.",
  }),
  'hardware-missing': entry<{ socket: string; position: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'Hardware is missing',
    words: (f) => `Socket ${f.socket} has nothing at ${f.position}.`,
    wayOut: () => 'Move the part into its position.',
  }),
  'lock-check-not-valid': entry<{ socket: string; why: string }>({
    rule: 'R7',
    kind: 'rule',
    title: 'The lock check is open',
    words: (f) => `Lock of ${f.socket}: ${f.why}.`,
    wayOut: () =>
      'Check the lock with its pin: count the clicks, pull, release, repeat; record it.',
  }),
  'finding-open': entry<{ socket: string; finding: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'A finding is open',
    words: (f) => `Finding on ${f.socket}: ${f.finding}.`,
    wayOut: () => 'Close it: rework, remake, accept as is with reason and signature, or scrap.',
  }),
  'batch-not-good': entry<{ socket: string; lot: string; why: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'A batch that was used is not good',
    words: (f) => `Batch ${f.lot} in ${f.socket} ${f.why}.`,
    wayOut: () =>
      'Report a finding on the socket that names the batch, and dispose of it; the licensed prosthetist decides.',
  }),
  'fit-not-accepted': entry<{ order: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'No accepted fit',
    words: (f) => `No prosthetist has accepted a fit for order ${f.order}.`,
    wayOut: () => 'A prosthetist judges the check socket, or skips check fitting by signature.',
  }),
  'releaser-did-the-work': entry<{ person: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'The releasing prosthetist did all the bench work',
    words: (f) => `${f.person} alone did the bench work and cannot release it alone.`,
    wayOut: () => 'Another prosthetist of the clinic releases it, or the clinic changes its rule.',
  }),
  'alignment-missing': entry<{ socket: string; why: string }>({
    rule: 'R14',
    kind: 'rule',
    title: 'The alignment is not measured',
    words: (f) => `Alignment of ${f.socket}: ${f.why}.`,
    wayOut: () => 'Measure it with the hardware as it now sits and record it.',
  }),
  'alignment-out-of-tolerance': entry<{ socket: string; differences: readonly string[] }>({
    rule: 'R14',
    kind: 'rule',
    title: 'The alignment differs from the accepted one',
    words: (f, m) => `${f.socket}: ${inUnits(f.differences.join('; '), ofSmall(m))}.`,
    wayOut: () =>
      'Adjust and measure again, or the prosthetist accepts the difference by signature.',
  }),
  'no-definitive-socket': entry<{ order: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'No definitive socket is begun yet',
    words: (f) => `Order ${f.order} has no definitive socket in work.`,
    wayOut: () => 'Begin it at the bench as soon as the fit is accepted.',
  }),
  'not-the-socket-to-deliver': entry<{ socket: string; state: string; kind: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'This socket cannot be delivered',
    words: (f) => `${f.socket} is a ${f.kind} socket and ${f.state}.`,
    wayOut: () => 'Deliver the definitive socket in work.',
  }),
  'delivery-not-signed': entry<{ socket: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'No signed delivery',
    words: (f) => `Socket ${f.socket} has no signed delivery.`,
    wayOut: () => 'Deliver it through its order, with signature.',
  }),
  'delivery-has-open-findings': entry<{ socket: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'Open findings',
    words: (f) => `Socket ${f.socket} has open findings.`,
    wayOut: () => 'Close them with a disposition first.',
  }),
  'visit-already-open': entry<{ socket: string }>({
    rule: 'R15',
    kind: 'conflict',
    title: 'A service visit is already open',
    words: (f) => `Socket ${f.socket} has an open service visit.`,
    wayOut: () => 'Go on with that one, or close it first.',
  }),
  'visit-closed': entry<{ socket: string }>({
    rule: 'R15',
    kind: 'conflict',
    title: 'The service visit is closed',
    words: (f) => `The service visit for ${f.socket} is closed.`,
    wayOut: () => 'Open a new one.',
  }),
  'receiver-works-here': entry<{ name: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'Staff may not receive for the patient',
    words: (f) =>
      `${f.name} works for the clinic; the patient or a designee receives the limb (CMS Program Integrity Manual ch. 4 § 4.7.3).`,
    wayOut: () => 'Enter the patient or the designee who received it, and the relation.',
  }),
};
