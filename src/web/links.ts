/** The addresses of pages, made from what they are about. */

/** Language and units. */
export const SETTINGS = '/settings';

export const orderPage = (orderId: string): string => `/orders/${orderId}`;
export const castPage = (orderId: string): string => `/orders/${orderId}/cast`;
export const signaturePage = (signatureId: string): string => `/signatures/${signatureId}`;
export const deliveryPage = (orderId: string): string => `/orders/${orderId}/delivery`;
export const fitPage = (socketId: string): string => `/sockets/${socketId}/fit`;
export const layupPage = (socketId: string): string => `/sockets/${socketId}/layup`;

/** The trace, asked already. @param by one of the kinds of key: `order`, `serial`, `batch` … */
export const tracePage = (by: string, key: string): string =>
  `/trace?${new URLSearchParams({ by, key }).toString()}`;

/** The history of a record, by what kind of record it is. */
export const historyPage = (subjectKind: string, subjectId: string): string =>
  `/history/${subjectKind}/${subjectId}`;

/** The recall of a lot of hardware, or of a batch, asked already. */
export const recallPage = (of: 'lot' | 'batch', key: string): string =>
  `/recall?${new URLSearchParams({ of, key }).toString()}`;

/** A patient's record and rights. */
export const patientPage = (patientId: string): string => `/patients/${patientId}`;

/** The orders of one patient. */
export const ordersOfPatient = (patientId: string): string => `/?patient=${patientId}`;

/** A day of the fittings book. */
export const bookPage = (day: string): string => `/fittings?day=${day}`;

/** Booking a fitting, with what is known already. */
export const bookingPage = (known: {
  readonly order?: string;
  readonly patient?: string;
  readonly at?: string;
  readonly with?: string;
}): string => {
  const query = new URLSearchParams(known).toString();
  return query === '' ? '/fittings/new' : `/fittings/new?${query}`;
};
