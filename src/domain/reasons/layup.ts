import { inUnits, ofSmall } from './measures.ts';
import { entry } from './reason.ts';

/** Refusals about fabrics, layup rules and layups (C2). */
export const LAYUP_REASONS = {
  'layup-not-approved': entry<{ socket: string }>({
    rule: 'R6',
    kind: 'rule',
    title: 'Fabric goes on by a signed layup only',
    words: (f) => `${f.socket} has no layup approved by signature.`,
    wayOut: () => 'The prosthetist approves a layup of this socket and signs it.',
  }),
  'layup-not-signed': entry<{ layup: number }>({
    rule: null,
    kind: 'rule',
    title: 'A layup is approved by signature',
    words: (f) => `Layup ${f.layup} has no signature of approval on it.`,
    wayOut: () => 'The prosthetist approves the layup and signs it.',
  }),
  'layup-of-definitive-only': entry<{ socket: string }>({
    rule: null,
    kind: 'rule',
    title: 'Only a definitive socket has a layup',
    words: (f) => `${f.socket} is no definitive socket.`,
    wayOut: () => 'Lay up the definitive socket of the order.',
  }),
  'fabric-unknown': entry<{ fabric: string }>({
    rule: null,
    kind: 'invalid',
    title: 'No such fabric in the catalogue',
    words: (f) => `The catalogue has no fabric ${f.fabric.replaceAll('_', ' ')}.`,
    wayOut: () => 'Name a fabric of the catalogue, or have an administrator enter it.',
  }),
  'fabric-not-in-layup': entry<{ lot: string; fabric: string; layup: number }>({
    rule: null,
    kind: 'rule',
    title: 'A fabric that is not in the layup',
    words: (f) => `Batch ${f.lot} is ${f.fabric}; the cut list of layup ${f.layup} has none of it.`,
    wayOut: () =>
      'Take a batch of a fabric of the cut list, or have a layup with this one approved.',
  }),
  'fabric-too-narrow': entry<{
    fabric: string;
    widthMm: number;
    reachesMm: number;
    greatestCircumferenceMm: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'The tube does not reach round the limb',
    words: (f, m) =>
      `${f.fabric}, ${m.small.of(f.widthMm)} ${m.small.unit} flat, stretches to a girth of ${m.length.of(f.reachesMm, 0)} ${m.length.unit}; the limb has ${m.length.of(f.greatestCircumferenceMm, 0)} ${m.length.unit}.`,
    wayOut: () => 'Take a wider tube, or wrap flat fabric.',
  }),
  'layup-past-top-mass': entry<{ bodyMassKg: number; topBodyMassKg: number }>({
    rule: null,
    kind: 'rule',
    title: 'No layup is proposed for this body mass',
    words: (f, m) =>
      `The patient has ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}; the clinic's layup rules end at ${m.mass.of(f.topBodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () => 'The prosthetist writes the layup; figures and cut list are then worked out.',
  }),
  'layup-no-rule': entry<{ bodyMassKg: number; functionalLevel: string; level: string }>({
    rule: null,
    kind: 'rule',
    title: 'No row of the layup rules is for this patient',
    words: (f, m) =>
      `No row is for ${f.level.replaceAll('_', '-')}, ${f.functionalLevel}, ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () => 'The prosthetist writes the layup, or the rules get a row for such patients.',
  }),
  'layup-rules-gap': entry<{ aboveKg: number; upToKg: number; patients: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'The layup rules leave patients out',
    words: (f, m) =>
      `Above ${m.mass.of(f.aboveKg, 1)} and up to ${m.mass.of(f.upToKg, 1)} ${m.mass.unit} no row is for ${f.patients.join(', ')}.`,
    wayOut: () => 'Give them a row, or lower the body mass at which the rules end.',
  }),
  'layup-rules-overlap': entry<{ rows: readonly string[]; patients: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'Two rows of the layup rules are for the same patients',
    words: (f) => `${f.rows.join(' and ')} are both for ${f.patients.join(', ')}.`,
    wayOut: () => 'Change body mass, functional levels or levels of one, so that one row remains.',
  }),
  'layup-row-empty': entry<{ row: string; lacks: string }>({
    rule: null,
    kind: 'invalid',
    title: 'A row of the layup rules is for nobody',
    words: (f) => `${f.row} has no ${f.lacks}.`,
    wayOut: () => 'Fill it in, or leave the row out.',
  }),
  'layup-row-mass-upside-down': entry<{ row: string; aboveKg: number; upToKg: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Body masses of a row in the wrong order',
    words: (f, m) =>
      `${f.row} is for above ${m.mass.of(f.aboveKg, 1)} and up to ${m.mass.of(f.upToKg, 1)} ${m.mass.unit}.`,
    wayOut: () => 'Enter the lesser mass first; neither passes the mass at which the rules end.',
  }),
  'layup-without-fabric': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'A layup without fabric',
    words: () => 'The layup names no fabric.',
    wayOut: () => 'List the layers from the inside to the outside.',
  }),
  'layup-line-misfits': entry<{ fabric: string; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'A layer that cannot be laid so',
    words: (f, m) => `${f.fabric.replaceAll('_', ' ')}: ${inUnits(f.why, ofSmall(m))}.`,
    wayOut: () => 'Change the direction, the reflection or the fabric of this layer.',
  }),
  'fabric-name-taken': entry<{ name: string }>({
    rule: null,
    kind: 'conflict',
    title: 'A fabric has this name',
    words: (f) => `The catalogue has a fabric ${f.name}.`,
    wayOut: () => 'Open that fabric, or give this one a name of its own.',
  }),
  'fabric-withdrawn': entry<{ fabric: string }>({
    rule: null,
    kind: 'rule',
    title: 'The fabric is withdrawn',
    words: (f) => `${f.fabric} is withdrawn from the catalogue.`,
    wayOut: () => 'Enter the roll as a fabric that is in use.',
  }),
  'material-has-another-form': entry<{ material: string; form: string; other: string }>({
    rule: null,
    kind: 'invalid',
    title: 'All rolls of a material have one form',
    words: (f) =>
      `${f.other} is the same material, ${f.material.replaceAll('_', ' ')}, and comes as ${f.form}.`,
    wayOut: () => 'Give this fabric a material of its own, or withdraw the other one.',
  }),
  'layup-without-body-mass': entry<{ patient: string }>({
    rule: null,
    kind: 'rule',
    title: 'No layup without a body mass',
    words: (f) => `Patient ${f.patient} has no body mass on record, so no layup can be chosen.`,
    wayOut: () => 'Weigh the patient and record the body mass with its day.',
  }),
  'layup-why-missing': entry<{ because: string }>({
    rule: null,
    kind: 'invalid',
    title: 'A layup that the rules do not propose needs its reason',
    words: (f, m) => `${inUnits(f.because, m)} The record has to say why it is laid up otherwise.`,
    wayOut: () => 'Say why, or take what the rules propose.',
  }),
  'layup-approved-before': entry<{ layup: number }>({
    rule: null,
    kind: 'conflict',
    title: 'An approved layup is superseded with a reason only',
    words: (f) => `Layup ${f.layup} of the socket is approved.`,
    wayOut: () => 'Say why another one takes its place.',
  }),
  'layup-already-approved': entry<{ layup: number }>({
    rule: null,
    kind: 'conflict',
    title: 'The layup is approved already',
    words: (f) => `Layup ${f.layup} is approved already.`,
    wayOut: () => 'Nothing more is to be signed; read the layup.',
  }),
  'layup-is-superseded': entry<{ layup: number }>({
    rule: null,
    kind: 'conflict',
    title: 'A newer layup has taken its place',
    words: (f) => `Layup ${f.layup} is superseded.`,
    wayOut: () => 'Read the newest layup of the socket and approve that one.',
  }),
  'layup-already-laminated': entry<{ socket: string }>({
    rule: null,
    kind: 'rule',
    title: 'The layup is in resin',
    words: (f) => `A lamination of ${f.socket} is on record; its layup stays as it is.`,
    wayOut: () => 'Report a finding; another layup is for another socket.',
  }),
  'layup-outgrown': entry<{
    layup: number;
    socket: string;
    madeForKg: number;
    bodyMassKg: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'The body mass passes what the layup was made for',
    words: (f, m) =>
      `Layup ${f.layup} of ${f.socket} was made for up to ${m.mass.of(f.madeForKg, 1)} ${m.mass.unit}; the patient has ${m.mass.of(f.bodyMassKg, 1)} ${m.mass.unit}.`,
    wayOut: () =>
      'Approve another layup before resin is drawn through, remake the socket, or have the prosthetist accept it as it is, signed.',
  }),
  'layup-basis-changed': entry<{ layup: number; changed: readonly string[] }>({
    rule: null,
    kind: 'conflict',
    title: 'What the layup was worked out from has changed',
    words: (f, m) => `Layup ${f.layup} no longer holds: ${inUnits(f.changed.join('; '), m)}.`,
    wayOut: () => 'Draft the layup anew, then approve that one.',
  }),
};
