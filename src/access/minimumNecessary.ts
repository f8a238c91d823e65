/**
 * What of a patient each role sees: no more than its work needs (45 CFR 164.502(b)). The one
 * table; every answer, file, event and search asks it. `tests/api/minimum-necessary.test.ts`
 * walks every route of the API as every role and finds exactly what stands here.
 */
import type { Day } from '../domain/days.ts';
import { CORRECTABLE, type Correctable } from '../domain/corrections.ts';
import { initialsOf } from '../domain/lookAlikes.ts';
import type { Shown } from '../domain/lookingUp.ts';
import { ROLES, type Role } from '../domain/words.ts';

/** 'opens': not, but may be opened for a reason, for one patient and half an hour (domain/breakGlass.ts). */
export type Sees = 'sees' | 'not' | 'opens';
type Line = Readonly<Record<Role, Sees>> & { readonly why: string };

const line = (
  [front_desk, technician, prosthetist, auditor, administrator]: readonly [
    Sees,
    Sees,
    Sees,
    Sees,
    Sees,
  ],
  why: string,
): Line => ({ front_desk, technician, prosthetist, auditor, administrator, why });

// prettier-ignore
export const PATIENT_FIELDS = {
  //                            desk    bench    fitting auditor  administrator
  chartNumber:        line(['sees', 'sees',  'sees', 'sees',  'sees'],  'Goes with the work: every traveller and label says whose it is by it.'),
  initials:           line(['sees', 'sees',  'sees', 'sees',  'sees'],  'A second look against a mistyped chart number.'),
  givenName:          line(['sees', 'opens', 'sees', 'sees',  'not'],   'Desk and fitting room speak with the person; an auditor proves whose record it is; the bench works on a limb, and needs a name only where a label cannot be read.'),
  familyName:         line(['sees', 'opens', 'sees', 'sees',  'not'],   'As the given name.'),
  birthDate:          line(['sees', 'opens', 'sees', 'sees',  'not'],   'Tells two people of one name apart; as the name.'),
  phone:              line(['sees', 'opens', 'sees', 'opens', 'not'],   'Desk and fitting room call; the bench where harm is near, an auditor where a recall must be told and nobody else is there.'),
  address:            line(['sees', 'not',   'sees', 'not',   'not'],   'For letters and the delivery record; nobody is in such haste that the telephone would not do.'),
  bodyMass:           line(['sees', 'sees',  'sees', 'sees',  'sees'],  'Ratings, layup and recalls are judged by it, with its history (R3, C2).'),
  limb:               line(['sees', 'sees',  'sees', 'sees',  'sees'],  'Side, level, suspension and liner: what is being made. The administrator’s catalogue and routes are judged by them.'),
  activity:           line(['sees', 'sees',  'sees', 'sees',  'sees'],  'The functional level decides the layup (C2).'),
  limbMeasures:       line(['sees', 'sees',  'sees', 'sees',  'sees'],  'The bench builds by them; the desk prints the traveller that they stand on; who oversees reads them behind a decision on the limb’s volume.'),
  photos:             line(['not',  'sees',  'sees', 'sees',  'not'],   'They may show a limb: for who works on it, or answers for the record.'),
  fittingWords:       line(['sees', 'sees',  'sees', 'sees',  'sees'],  'Why a fit was not accepted: the bench makes the next socket by it, the desk tells the caller why there is one, who oversees counts the causes.'),
  findingWords:       line(['sees', 'sees',  'sees', 'sees',  'sees'],  'What is wrong with a socket: the work stops by it, and the gate says it to everybody (R8).'),
  orderNote:          line(['sees', 'sees',  'sees', 'sees',  'sees'],  'Said to those who make the limb; the desk is told on the screen who reads it.'),
  appointmentTime:    line(['sees', 'sees',  'sees', 'sees',  'sees'],  'When, for what and with whom: the bench has the socket ready by then.'),
  appointmentWords:   line(['sees', 'not',   'sees', 'sees',  'not'],   'What the patient or the family said to the desk is not the bench’s.'),
  receivedBy:         line(['sees', 'not',   'sees', 'sees',  'not'],   'Who took the limb, most often the patient: a name like any other.'),
  signedContent:      line(['sees', 'sees',  'sees', 'sees',  'sees'],  'What was signed, by what it vouches for; the name of who received the limb is its own line above.'),
  recallName:         line(['sees', 'not',   'sees', 'opens', 'sees'],  'Who runs a recall must know whom it is about; an auditor’s drill is about counts, unless the telephone was opened to call.'),
  recallPhone:        line(['sees', 'not',   'sees', 'opens', 'sees'],  'Who runs a recall calls; an auditor opens it where nobody else is there.'),
  recallWords:        line(['sees', 'not',   'sees', 'sees',  'sees'],  'What was agreed with those who were called, for who may ask for a recall.'),
  rightsWords:        line(['sees', 'not',   'sees', 'sees',  'not'],   'What the person asked to have corrected, and what was answered: not the bench’s. What was corrected stands beside the record for everybody.'),
  openedBecause:      line(['not',  'not',   'not',  'sees',  'sees'],  'Why fields were opened, in words: for who reviews it.'),
  costs:              line(['sees', 'not',   'sees', 'sees',  'sees'],  'What the limb cost is no help in making it.'),
} as const satisfies Readonly<Record<string, Line>>;

export type PatientField = keyof typeof PATIENT_FIELDS;
export const PATIENT_FIELD_NAMES = Object.keys(PATIENT_FIELDS) as readonly PatientField[];

/** Fields of the patient's own row that can be opened; the database's constraint has the same. */
export const OPENABLE = ['givenName', 'familyName', 'birthDate', 'phone'] as const;
export type Openable = (typeof OPENABLE)[number];

const cells = (roles: readonly Role[], field: PatientField): readonly Sees[] =>
  roles.map((role) => PATIENT_FIELDS[field][role]);

/** The roles whose line of this field says that they see it. */
export const rolesThatSee = (field: PatientField): readonly Role[] =>
  ROLES.filter((role) => PATIENT_FIELDS[field][role] === 'sees');

/** Which fields people with these roles may open for a reason: none where they see them anyway. */
export const mayOpen = (roles: readonly Role[]): readonly Openable[] =>
  OPENABLE.filter((field) => {
    const said = cells(roles, field);
    return said.includes('opens') && !said.includes('sees');
  });

/** Roles that may open anything at all. Who is named here by no line never may. */
export const ROLES_THAT_OPEN: readonly Role[] = ROLES.filter((role) => mayOpen([role]).length > 0);

/** Who looks: the roles, and what stands open to the person just now, by patient (access/sight.ts). */
export interface Sight {
  readonly roles: readonly Role[];
  readonly opened: ReadonlyMap<string, ReadonlySet<string>>;
}

/** By roles alone, where nothing is of one patient: lists of kinds, searches. */
export const byRoles = (roles: readonly Role[]): Sight => ({ roles, opened: new Map() });

/**
 * Whether a field is seen: by role, or because it was opened for this patient. The one
 * function that every answer asks.
 */
export function sees({ roles, opened }: Sight, field: PatientField, patientId?: string): boolean {
  const said = cells(roles, field);
  if (said.includes('sees')) return true;
  if (patientId === undefined || !said.includes('opens')) return false;
  // On the list of a recall the telephone brings the name along: who is it that answers?
  const name = field === 'recallPhone' || field === 'recallName' ? 'phone' : field;
  return opened.get(patientId)?.has(name) === true;
}

export const seesIdentity = (sight: Sight, patientId?: string): boolean =>
  sees(sight, 'familyName', patientId);
export const seesContact = (sight: Sight, patientId?: string): boolean =>
  sees(sight, 'phone', patientId);

/** The most of a patient that people see on a page that shows all that they may see. */
export const mostShown = (sight: Sight, patientId?: string): Shown => {
  if (seesContact(sight, patientId)) return 'contact';
  return seesIdentity(sight, patientId) ? 'identity' : 'bench';
};

/** An amount of money as people with these roles see it: null where they do not see costs. */
export const moneyFor = <T extends number | null>(roles: readonly Role[], amount: T): T | null =>
  sees(byRoles(roles), 'costs') ? amount : null;

/** Words that correct a record are seen by whoever sees what they correct. */
const FIELD_CORRECTED: Readonly<Record<Correctable, PatientField | null>> = {
  body_mass: 'bodyMass',
  cast: 'limbMeasures',
  measure_set: 'limbMeasures',
  volume_decision: 'limbMeasures',
  operation_record: null,
  layup: null,
  resin_weighing: null,
  torque_confirmation: null,
  lock_check: null,
  alignment: null,
  fitting: 'fittingWords',
  finding: 'findingWords',
  mass_acknowledgement: 'bodyMass',
  delivery: 'receivedBy',
  service_visit: null,
  appointment: 'appointmentWords',
};

/** Whether the words of a correction of such a record are seen; that it was corrected everybody sees. */
export const seesCorrection = (sight: Sight, of: Correctable, patientId?: string): boolean => {
  const field = FIELD_CORRECTED[of];
  return field === null || sees(sight, field, patientId);
};

/** The words of a correction, wherever they stand. */
export const CORRECTION_WORDS: readonly string[] = ['wrong', 'right', 'why'];

/** Fields of events that not everybody reads, by what the event is about. */
const FIELD_OF_SUBJECT: Readonly<Record<string, Readonly<Record<string, PatientField>>>> = {
  patient: {
    givenName: 'givenName',
    familyName: 'familyName',
    birthDate: 'birthDate',
    phone: 'phone',
    address: 'address',
    words: 'openedBecause',
    // Whom the patient's own record was handed to: most often the patient.
    handedTo: 'receivedBy',
  },
  appointment: {
    note: 'appointmentWords',
    why: 'appointmentWords',
    whyBefore: 'appointmentWords',
  },
  correction_request: {
    said: 'rightsWords',
    decisionReason: 'rightsWords',
    disagreement: 'rightsWords',
  },
};
/** The same by what happened, where the subject alone does not say it. */
const FIELD_OF_KIND: Readonly<Record<string, Readonly<Record<string, PatientField>>>> = {
  'recall.called': { note: 'recallWords' },
};
/** The same wherever they stand. */
const FIELD_ANYWHERE: Readonly<Record<string, PatientField>> = {
  priceMinor: 'costs',
  labourRatePerHourMinor: 'costs',
  receivedByName: 'receivedBy',
};

/** Whether a field of an event may be read, wherever it is told. */
export function seesEventField(
  sight: Sight,
  of: {
    readonly kind: string;
    readonly subjectKind: string;
    readonly subjectId: string;
    readonly data: Readonly<Record<string, unknown>>;
  },
  name: string,
): boolean {
  if (of.subjectKind === 'correction' && CORRECTION_WORDS.includes(name)) {
    const corrected = CORRECTABLE.find((each) => each === of.data['of']);
    return corrected !== undefined && seesCorrection(sight, corrected);
  }
  const field =
    FIELD_OF_KIND[of.kind]?.[name] ??
    FIELD_OF_SUBJECT[of.subjectKind]?.[name] ??
    FIELD_ANYWHERE[name];
  if (field === undefined) return true;
  return sees(sight, field, of.subjectKind === 'patient' ? of.subjectId : undefined);
}

/** A patient as far as anybody may be told who it is. */
export interface PatientIdentity {
  readonly id: string;
  readonly chartNumber: string;
  readonly givenName: string;
  readonly familyName: string;
  /** Null where it was erased; the names are empty then. */
  readonly birthDate: Day | null;
}

/** Chart number and initials; names and birth date only where they are seen. */
export interface PatientSeen {
  readonly id: string;
  readonly chartNumber: string;
  readonly initials: string;
  readonly givenName?: string;
  readonly familyName?: string;
  readonly birthDate?: Day;
}

/** The patient as it is seen beside an order or a socket. */
export function patientSeenBy(sight: Sight, patient: PatientIdentity): PatientSeen {
  const { id, chartNumber, givenName, familyName, birthDate } = patient;
  return {
    id,
    chartNumber,
    initials: initialsOf(patient),
    // Where the birth date was erased, so were the names.
    ...(birthDate !== null && sees(sight, 'givenName', id) ? { givenName } : {}),
    ...(birthDate !== null && sees(sight, 'familyName', id) ? { familyName } : {}),
    ...(birthDate !== null && sees(sight, 'birthDate', id) ? { birthDate } : {}),
  };
}
