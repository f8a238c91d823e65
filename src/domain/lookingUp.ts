/**
 * Looking a patient up is an event of its own (45 CFR 164.312(b), audit controls; 164.528,
 * what the patient may ask for): who was shown what, of whom, from where.
 */

/** The most of a patient that was shown: what the bench knows, who it is, how to reach the person. */
export const SHOWN = ['bench', 'identity', 'contact'] as const;
export type Shown = (typeof SHOWN)[number];

/**
 * The routes that look patients up, by `operationId`, in words. A list of the day's work is
 * none: nobody was looked up, everybody's work is in it.
 */
export const LOOKED_UP_BY = {
  readPatient: 'patient’s own page',
  listBodyMasses: 'body masses',
  searchPatients: 'search for patients',
  findLookAlikes: 'look-alikes of a new patient',
  search: 'search',
  findThings: 'search of the trace',
  readOrder: 'page of an order',
  readOrderByNumber: 'order by its number',
  listOrders: 'orders of one patient',
  printDeliveryRecord: 'delivery record',
  printWearerSheet: 'wearer’s sheet',
  readHistory: 'history',
  readTrace: 'trace',
  readRecall: 'recall list',
  openMore: 'opened for a reason',
  readPatientRights: 'rights in the record',
  readLongWorkResult: 'the patient’s own record, as a file',
  readPatientRecord: 'the patient’s own record',
  readPatientRecordPaper: 'the patient’s own record, on paper',
  listPatientLooks: 'list of who looked the patient up',
} as const;
export type LookUpRoute = keyof typeof LOOKED_UP_BY;
export const LOOK_UP_ROUTES = Object.keys(LOOKED_UP_BY) as readonly LookUpRoute[];

/**
 * Who is shown the same of the same patient by the same route again within so long has looked
 * once: a desk whose page is read again by itself, or who types a name letter by letter, looks
 * up no other patient by it. Common practice, no source.
 */
export const ONE_LOOK_MINUTES = 15;
/** From when on an earlier look is the same one. */
export const sameLookSince = (at: Date): Date => new Date(at.getTime() - ONE_LOOK_MINUTES * 60_000);

/** Patients named in one event; more are told in further ones. Common practice, no source. */
export const MOST_NAMED = 200;
