/**
 * Who may do what: the one table. A route that is missing here stops the boot, and so
 * does a line here without its route. Sorted by subject.
 */
import type { Reach } from '../domain/secondFactor.ts';
import { ROLES, type Role } from '../domain/words.ts';
import { ROLES_THAT_OPEN, rolesThatSee } from './minimumNecessary.ts';

/** Anybody at all, without a token. Said here so that nothing is public by omission. */
export const PUBLIC = 'public';
/** Everybody who is signed in, whatever the role. */
const EVERYBODY = ROLES;
/** Those who work on sockets with their hands. */
const BENCH = ['technician', 'prosthetist'] as const;
/** Those who speak with patients. */
const DESK = ['front_desk', 'prosthetist'] as const;

/** Those who see pictures, and what things cost: the table of what each role sees says who. */
const PHOTOS = rolesThatSee('photos');
const MONEY = rolesThatSee('costs');
/** Those who review what was opened for a reason, and who looked at whom. */
const OVERSEERS = ['auditor', 'administrator'] as const;

export type Who = typeof PUBLIC | readonly Role[];

export const PERMISSIONS = {
  // The service itself
  'GET /healthz': PUBLIC,
  'GET /readyz': PUBLIC,
  'GET /api/openapi.json': PUBLIC,
  'GET /api/problems': PUBLIC,
  'GET /api/problems/:code': PUBLIC,

  // The code on a traveller
  'GET /o/:number': PUBLIC,

  // The codes on labels
  'GET /o/:number/:socket': PUBLIC,
  'GET /p/:placeId': PUBLIC,

  // Sign-in
  'POST /api/v1/sign-in': PUBLIC,
  'POST /api/v1/sign-in/pin': PUBLIC,
  'POST /api/v1/sign-in/refresh': PUBLIC,
  'POST /api/v1/sign-in/code': PUBLIC,
  'POST /api/v1/sign-out': EVERYBODY,

  // Sign-in by an organisation's account
  'GET /api/v1/sign-in/openid/:prefix': PUBLIC,
  'POST /api/v1/sign-in/openid/begin': PUBLIC,
  'POST /api/v1/sign-in/openid': PUBLIC,
  'GET /api/v1/me/openid': EVERYBODY,
  'POST /api/v1/me/openid/link/begin': EVERYBODY,
  'POST /api/v1/me/openid/link': EVERYBODY,
  'POST /api/v1/me/openid/unlink': EVERYBODY,
  'POST /api/v1/me/openid/sign/begin': EVERYBODY,
  'POST /api/v1/me/openid/sign': EVERYBODY,
  'GET /api/v1/people/:personId/openid': ['administrator', 'auditor'],
  'POST /api/v1/people/:personId/openid/invitation': ['administrator'],
  'POST /api/v1/people/:personId/openid/unlink': ['administrator'],
  'GET /api/v1/openid-provider': ['administrator', 'auditor'],
  'POST /api/v1/openid-provider': ['administrator'],
  'POST /api/v1/openid-provider/trial': ['administrator'],

  // People
  'GET /api/v1/me': EVERYBODY,
  'POST /api/v1/me/password': EVERYBODY,
  'GET /api/v1/me/second-factor': EVERYBODY,
  'POST /api/v1/me/second-factor': EVERYBODY,
  'POST /api/v1/me/second-factor/confirmation': EVERYBODY,
  'POST /api/v1/me/second-factor/recovery-codes': EVERYBODY,
  'POST /api/v1/me/second-factor/removal': EVERYBODY,
  'POST /api/v1/me/bench-pin': BENCH,
  'POST /api/v1/me/bench-pin/removal': BENCH,
  'GET /api/v1/me/sessions': EVERYBODY,
  'POST /api/v1/me/sessions/:sessionId/end': EVERYBODY,
  'POST /api/v1/me/sessions/end-others': EVERYBODY,
  'GET /api/v1/bench-people': BENCH,
  'GET /api/v1/people': ['administrator', 'auditor'],
  'GET /api/v1/people/:personId': ['administrator', 'auditor'],
  'POST /api/v1/people': ['administrator'],
  'PATCH /api/v1/people/:personId': ['administrator'],
  'POST /api/v1/people/:personId/second-factor/reset': ['administrator'],
  'POST /api/v1/people/:personId/code': ['administrator'],
  'GET /api/v1/people/:personId/sessions': ['administrator'],
  'POST /api/v1/people/:personId/sessions/:sessionId/end': ['administrator'],
  'POST /api/v1/people/:personId/sessions/end-all': ['administrator'],

  // Clinic
  'GET /api/v1/clinic': EVERYBODY,
  'PATCH /api/v1/clinic': ['administrator'],

  // Patients
  'POST /api/v1/patients/search': EVERYBODY,
  'POST /api/v1/patients/look-alikes': DESK,
  'POST /api/v1/patients': DESK,
  'GET /api/v1/patients/:patientId': EVERYBODY,
  'PATCH /api/v1/patients/:patientId': DESK,
  'GET /api/v1/patients/:patientId/body-masses': EVERYBODY,
  'POST /api/v1/patients/:patientId/body-masses': ['front_desk', 'technician', 'prosthetist'],

  // A patient's rights in the record, and what holds it
  'GET /api/v1/retention/due': ['auditor', 'administrator'],
  'GET /api/v1/legal-holds': ['auditor', 'administrator'],
  'GET /api/v1/orders/:orderId/legal-holds': [...DESK, 'auditor', 'administrator'],
  'GET /api/v1/parts/:partId/legal-holds': [...DESK, 'auditor', 'administrator'],
  'POST /api/v1/legal-holds': ['administrator'],
  'POST /api/v1/legal-holds/:legalHoldId/lift': ['administrator'],
  'GET /api/v1/patients/:patientId/rights': [...DESK, 'auditor', 'administrator'],
  'POST /api/v1/patients/:patientId/correction-requests': DESK,
  'POST /api/v1/correction-requests/:correctionRequestId/decision': ['prosthetist'],
  'POST /api/v1/correction-requests/:correctionRequestId/disagreement': DESK,
  'GET /api/v1/patients/:patientId/correctable-records': BENCH,
  'POST /api/v1/patients/:patientId/corrections': BENCH,
  'POST /api/v1/patients/:patientId/corrections/to-sign': BENCH,
  'GET /api/v1/orders/:orderId/corrections': EVERYBODY,
  'POST /api/v1/patients/:patientId/erasures': ['administrator'],
  'POST /api/v1/erasures/:erasureId/confirmation': ['prosthetist'],
  'POST /api/v1/erasures/:erasureId/confirmation/to-sign': ['prosthetist'],
  'POST /api/v1/erasures/:erasureId/withdrawal': ['administrator'],
  'GET /api/v1/long-works/:longWorkId/record.json': DESK,
  'GET /api/v1/long-works/:longWorkId/record.pdf': DESK,
  'GET /api/v1/patients/:patientId/looks': OVERSEERS,
  'GET /api/v1/patients/:patientId/looks/file.csv': OVERSEERS,
  // Fields beyond the role's line, for a reason; who sees them anyway, and who never may, is not here
  'POST /api/v1/patients/:patientId/more': ROLES_THAT_OPEN,
  'GET /api/v1/break-glass': OVERSEERS,
  'POST /api/v1/break-glass/:breakGlassId/reviews': OVERSEERS,

  // Looking for a patient or an order
  'POST /api/v1/search': EVERYBODY,

  // Orders
  'GET /api/v1/orders': EVERYBODY,
  'POST /api/v1/orders': DESK,
  'GET /api/v1/orders/by-number/:number': EVERYBODY,
  'GET /api/v1/orders/:orderId': EVERYBODY,
  'PATCH /api/v1/orders/:orderId': DESK,
  'POST /api/v1/orders/:orderId/hold': ['front_desk', 'technician', 'prosthetist'],
  'POST /api/v1/orders/:orderId/resume': ['front_desk', 'technician', 'prosthetist'],
  'POST /api/v1/orders/:orderId/cancel': DESK,
  'POST /api/v1/orders/:orderId/skip-check-fitting': ['prosthetist'],
  'POST /api/v1/orders/:orderId/skip-check-fitting/to-sign': ['prosthetist'],
  'GET /api/v1/orders/:orderId/history': EVERYBODY,
  'GET /api/v1/orders/:orderId/traveller.pdf': EVERYBODY,
  'GET /api/v1/prosthetists': EVERYBODY,

  // The fittings book
  'GET /api/v1/appointments': EVERYBODY,
  'POST /api/v1/appointments': DESK,
  'GET /api/v1/appointments/free': DESK,
  'POST /api/v1/appointments/:appointmentId/move': DESK,
  'POST /api/v1/appointments/:appointmentId/mark': DESK,

  // Casts
  'GET /api/v1/orders/:orderId/casts': EVERYBODY,
  'POST /api/v1/orders/:orderId/casts': ['prosthetist'],
  'POST /api/v1/casts/:castId/accept': ['prosthetist'],
  'POST /api/v1/casts/:castId/reject': ['prosthetist'],

  // Limb
  'GET /api/v1/orders/:orderId/measure-sets': EVERYBODY,
  'POST /api/v1/orders/:orderId/measure-sets': ['prosthetist'],
  'GET /api/v1/measure-sets/comparison': EVERYBODY,
  'GET /api/v1/measure-sets/:measureSetId/profile.svg': EVERYBODY,
  'POST /api/v1/volume-decisions': ['prosthetist'],

  // Sockets and operations
  'POST /api/v1/orders/:orderId/sockets': BENCH,
  'GET /api/v1/sockets/:socketId': EVERYBODY,
  'POST /api/v1/operations/:operationId/records': BENCH,
  'POST /api/v1/operations/:operationId/leave-out': ['prosthetist'],

  // Resin
  'POST /api/v1/sockets/:socketId/resin-recipes': BENCH,
  'GET /api/v1/sockets/:socketId/resin': EVERYBODY,
  'POST /api/v1/sockets/:socketId/resin-weighings': BENCH,

  // Hardware
  'GET /api/v1/places': EVERYBODY,
  'POST /api/v1/places': ['technician', 'administrator'],
  'GET /api/v1/items': EVERYBODY,
  'POST /api/v1/items': ['technician', 'administrator'],
  'GET /api/v1/items/:itemId': EVERYBODY,
  'PATCH /api/v1/items/:itemId': ['administrator'],
  'POST /api/v1/items/scan': ['technician', 'administrator'],
  'POST /api/v1/moves': BENCH,
  'POST /api/v1/transfers': BENCH,

  // Labels
  'POST /api/v1/udi/readings': EVERYBODY,
  'GET /api/v1/part-drafts': ['technician', 'auditor', 'administrator'],
  'POST /api/v1/part-drafts/:partDraftId/part': ['administrator'],
  'POST /api/v1/part-drafts/:partDraftId/set-aside': ['administrator'],

  // Papers: labels, slips, what goes with a delivery
  'GET /api/v1/label-sizes': EVERYBODY,
  'POST /api/v1/label-sizes': ['administrator'],
  'GET /api/v1/sockets/:socketId/label.pdf': EVERYBODY,
  'GET /api/v1/casts/:castId/label.pdf': EVERYBODY,
  'GET /api/v1/places/:placeId/label.pdf': EVERYBODY,
  'GET /api/v1/sockets/:socketId/move-slip.pdf': EVERYBODY,
  'GET /api/v1/sockets/:socketId/delivery-record.pdf': ['front_desk', 'prosthetist', 'auditor'],
  'GET /api/v1/sockets/:socketId/wearer-sheet.pdf': DESK,

  // Torque and lock
  'GET /api/v1/torque/joint.svg': EVERYBODY,
  'GET /api/v1/sockets/:socketId/joints/:jointKind/drawing.svg': EVERYBODY,
  'POST /api/v1/sockets/:socketId/joints/:jointKind/confirmations': BENCH,
  'POST /api/v1/sockets/:socketId/lock-checks': BENCH,

  // Fit and alignment
  'POST /api/v1/sockets/:socketId/fit-acceptance': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/fit-acceptance/to-sign': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/fit-rejection': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/alignments': BENCH,
  'GET /api/v1/sockets/:socketId/alignments': EVERYBODY,
  'GET /api/v1/sockets/:socketId/alignment.svg': EVERYBODY,
  'POST /api/v1/sockets/:socketId/alignment-difference-acceptance': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/alignment-difference-acceptance/to-sign': ['prosthetist'],

  // Findings
  'POST /api/v1/sockets/:socketId/findings': BENCH,
  'POST /api/v1/findings/:findingId/disposition': BENCH,
  'POST /api/v1/findings/:findingId/acceptance': ['prosthetist'],
  'POST /api/v1/findings/:findingId/acceptance/to-sign': ['prosthetist'],

  // Photos: they may show a limb, so who neither works on it nor answers for the record sees none
  'GET /api/v1/sockets/:socketId/photos': PHOTOS,
  'GET /api/v1/photos/:photoId': PHOTOS,

  // Signatures, read back
  'GET /api/v1/orders/:orderId/signatures': EVERYBODY,
  'GET /api/v1/signatures/:signatureId': EVERYBODY,

  // Delivery
  'GET /api/v1/orders/:orderId/delivery-gate': EVERYBODY,
  'POST /api/v1/orders/:orderId/delivery': ['prosthetist'],
  'POST /api/v1/orders/:orderId/delivery/to-sign': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/mass-acknowledgements': ['prosthetist'],
  'POST /api/v1/sockets/:socketId/mass-acknowledgements/to-sign': ['prosthetist'],

  // After delivery
  'POST /api/v1/orders/:orderId/service-visits': ['front_desk', 'technician', 'prosthetist'],
  'POST /api/v1/service-visits/:serviceVisitId/closing': ['prosthetist'],
  'POST /api/v1/service-visits/:serviceVisitId/closing/to-sign': ['prosthetist'],
  'GET /api/v1/service/due': EVERYBODY,
  'POST /api/v1/orders/:orderId/remake': ['prosthetist'],

  // Catalogue
  'GET /api/v1/parts': EVERYBODY,
  'POST /api/v1/parts': ['administrator'],
  'GET /api/v1/parts/:partId': EVERYBODY,
  'PATCH /api/v1/parts/:partId': ['administrator'],
  'POST /api/v1/parts/:partId/torque-settings': ['administrator'],
  'GET /api/v1/routes': EVERYBODY,
  'POST /api/v1/routes': ['administrator'],
  'GET /api/v1/resin-products': EVERYBODY,
  'POST /api/v1/resin-products': ['administrator'],
  'GET /api/v1/resin-products/:resinProductId': EVERYBODY,
  'PATCH /api/v1/resin-products/:resinProductId': ['administrator'],
  'GET /api/v1/shop-tools': EVERYBODY,
  'POST /api/v1/shop-tools': ['technician', 'administrator'],
  'GET /api/v1/shop-tools/:toolId': EVERYBODY,
  'POST /api/v1/shop-tools/:toolId/calibrations': ['technician', 'administrator'],
  'POST /api/v1/shop-tools/:toolId/out-of-service': ['technician', 'prosthetist', 'administrator'],
  'POST /api/v1/shop-tools/:toolId/back-in-service': ['administrator'],

  // Fabrics, layup rules and layups
  'GET /api/v1/fabrics': EVERYBODY,
  'POST /api/v1/fabrics': ['administrator'],
  'GET /api/v1/fabrics/:fabricId': EVERYBODY,
  'PATCH /api/v1/fabrics/:fabricId': ['administrator'],
  'GET /api/v1/layup-rules': EVERYBODY,
  'GET /api/v1/layup-rules/versions': EVERYBODY,
  'POST /api/v1/layup-rules': ['administrator'],
  'GET /api/v1/sockets/:socketId/layup': EVERYBODY,
  'GET /api/v1/sockets/:socketId/layup/proposal': EVERYBODY,
  'POST /api/v1/sockets/:socketId/layups': BENCH,
  'POST /api/v1/layups/:layupId/approval': ['prosthetist'],
  'POST /api/v1/layups/:layupId/approval/to-sign': ['prosthetist'],
  'GET /api/v1/layups/:layupId/section.svg': EVERYBODY,

  // Batches
  'GET /api/v1/batches': EVERYBODY,
  'POST /api/v1/batches': ['technician', 'administrator'],
  'GET /api/v1/batches/:batchId': EVERYBODY,
  'PATCH /api/v1/batches/:batchId': ['technician', 'administrator'],
  'GET /api/v1/stock/outlook': EVERYBODY,
  'POST /api/v1/batches/:batchId/open': BENCH,
  'POST /api/v1/batches/:batchId/quarantine': ['technician', 'prosthetist', 'administrator'],

  // Costs and quality
  'GET /api/v1/sockets/:socketId/cost': MONEY,
  'GET /api/v1/orders/:orderId/cost': MONEY,
  'GET /api/v1/costs': MONEY,
  'GET /api/v1/quality': ['prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/quality/turnaround.svg': ['prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/quality/shares.svg': ['prosthetist', 'auditor', 'administrator'],

  // Dates and benches
  'GET /api/v1/calendar': EVERYBODY,
  'GET /api/v1/calendar/versions': EVERYBODY,
  'POST /api/v1/calendar': ['administrator'],
  'GET /api/v1/benches': EVERYBODY,
  'POST /api/v1/benches': ['administrator'],
  'PATCH /api/v1/benches/:benchId': ['administrator'],
  'GET /api/v1/dates/offer': EVERYBODY,
  'GET /api/v1/dates/watch': EVERYBODY,
  'GET /api/v1/orders/:orderId/date': EVERYBODY,
  'GET /api/v1/bench-load': EVERYBODY,
  'GET /api/v1/bench-load.svg': EVERYBODY,

  // Long work: who may ask for which, and who sees whose, domain/longWork.ts says
  'POST /api/v1/long-works': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/long-works': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/long-works/:longWorkId': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'POST /api/v1/long-works/:longWorkId/cancel': [
    'front_desk',
    'prosthetist',
    'auditor',
    'administrator',
  ],
  'GET /api/v1/long-works/:longWorkId/result': [
    'front_desk',
    'prosthetist',
    'auditor',
    'administrator',
  ],

  // Live updates
  'GET /api/v1/changes': EVERYBODY,

  // History of any record; a person's is for auditor and administrator, and one's own
  'GET /api/v1/history/:subjectKind/:subjectId': EVERYBODY,
  'GET /api/v1/history/:subjectKind/:subjectId/file.csv': EVERYBODY,
  'GET /api/v1/history/:subjectKind/:subjectId/file.pdf': EVERYBODY,
  'GET /api/v1/history/:subjectKind/:subjectId/file.json': EVERYBODY,

  // The chain of events, to be verified by whoever reads it
  'GET /api/v1/record/head': ['auditor', 'administrator'],
  'GET /api/v1/record/events': ['auditor', 'administrator'],
  'POST /api/v1/record/verifications': ['auditor', 'administrator'],
  'GET /api/v1/record/keys': ['auditor', 'administrator'],
  'GET /api/v1/record/heads': ['auditor', 'administrator'],
  'POST /api/v1/record/heads': ['auditor', 'administrator'],
  'GET /api/v1/record/heads/:number/notice.pdf': ['auditor', 'administrator'],
  'GET /api/v1/record/heads/:number/inclusion': ['auditor', 'administrator'],
  'GET /api/v1/record/heads/:number/consistency': ['auditor', 'administrator'],

  // Trace: who may ask by which key, domain/trace.ts says
  'GET /api/v1/trace': EVERYBODY,
  'POST /api/v1/trace/find': EVERYBODY,
  'GET /api/v1/trace.json': EVERYBODY,
  'GET /api/v1/trace.csv': EVERYBODY,
  'GET /api/v1/trace.pdf': EVERYBODY,
  'GET /api/v1/recall': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/recall.json': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'POST /api/v1/recall/calls': ['front_desk', 'prosthetist', 'administrator'],
  'GET /api/v1/recall.csv': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'GET /api/v1/recall.pdf': ['front_desk', 'prosthetist', 'auditor', 'administrator'],
  'POST /api/v1/recall/quarantine': ['prosthetist', 'administrator'],
} as const satisfies Record<string, Who>;

export type Permission = keyof typeof PERMISSIONS;

/** All that a sign-in may before the second factor is added that the clinic asks for. */
const TO_ENROL: readonly Permission[] = [
  'GET /api/v1/me',
  'GET /api/v1/me/second-factor',
  'POST /api/v1/me/second-factor',
  'POST /api/v1/me/second-factor/confirmation',
  'POST /api/v1/sign-out',
];

/**
 * The bench's work: all that a sign-in by PIN may, within the roles of the bench. What is not
 * listed is not for it, so a new route is not by omission; nothing that is signed is here.
 */
const AT_BENCH: readonly Permission[] = [
  'GET /api/v1/me',
  'POST /api/v1/sign-out',
  'POST /api/v1/me/bench-pin/removal',
  'GET /api/v1/bench-people',
  'GET /api/v1/clinic',
  'GET /api/v1/calendar',
  'GET /api/v1/changes',
  'GET /api/v1/orders/by-number/:number',
  'GET /api/v1/orders/:orderId',
  'GET /api/v1/orders/:orderId/traveller.pdf',
  'POST /api/v1/orders/:orderId/sockets',
  'GET /api/v1/sockets/:socketId',
  'POST /api/v1/operations/:operationId/records',
  'POST /api/v1/sockets/:socketId/resin-recipes',
  'GET /api/v1/sockets/:socketId/resin',
  'POST /api/v1/sockets/:socketId/resin-weighings',
  'GET /api/v1/places',
  'GET /api/v1/items',
  'GET /api/v1/items/:itemId',
  'POST /api/v1/items/scan',
  'POST /api/v1/moves',
  'POST /api/v1/transfers',
  'POST /api/v1/udi/readings',
  'GET /api/v1/sockets/:socketId/label.pdf',
  'GET /api/v1/casts/:castId/label.pdf',
  'GET /api/v1/places/:placeId/label.pdf',
  'GET /api/v1/sockets/:socketId/move-slip.pdf',
  'GET /api/v1/torque/joint.svg',
  'GET /api/v1/sockets/:socketId/joints/:jointKind/drawing.svg',
  'POST /api/v1/sockets/:socketId/joints/:jointKind/confirmations',
  'POST /api/v1/sockets/:socketId/lock-checks',
  'POST /api/v1/sockets/:socketId/findings',
  'POST /api/v1/findings/:findingId/disposition',
  'GET /api/v1/sockets/:socketId/photos',
  'GET /api/v1/photos/:photoId',
  'GET /api/v1/parts',
  'GET /api/v1/parts/:partId',
  'GET /api/v1/resin-products',
  'GET /api/v1/shop-tools',
  'GET /api/v1/shop-tools/:toolId',
  'GET /api/v1/sockets/:socketId/layup',
  'GET /api/v1/layups/:layupId/section.svg',
  'GET /api/v1/batches',
  'GET /api/v1/batches/:batchId',
  'POST /api/v1/batches/:batchId/open',
];

/** What a sign-in that does not reach all may do; null where only its roles say. */
export const REACHES_ONLY = {
  whole: null,
  bench: new Set<string>(AT_BENCH),
  enrolment: new Set<string>(TO_ENROL),
} as const satisfies Record<Reach, ReadonlySet<string> | null>;

/** Roles as people say them. */
export const ROLE_WORDS = {
  front_desk: 'front desk',
  technician: 'technician',
  prosthetist: 'prosthetist',
  auditor: 'auditor',
  administrator: 'administrator',
} as const satisfies Record<Role, string>;
