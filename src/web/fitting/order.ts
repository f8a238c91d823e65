/** The order and the socket that a page is about. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';

/** @param orderId undefined where it is not known yet: then nothing is asked */
export const useOrder = (orderId: string | undefined) =>
  useQuery({
    queryKey: ['order', orderId],
    enabled: orderId !== undefined,
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}', { params: { path: { orderId: orderId ?? '' } } }),
      ),
  });

/** @param socketId undefined as above */
export const useSocket = (socketId: string | undefined) =>
  useQuery({
    queryKey: ['socket', socketId],
    enabled: socketId !== undefined,
    queryFn: () =>
      answered(
        api.GET('/api/v1/sockets/{socketId}', { params: { path: { socketId: socketId ?? '' } } }),
      ),
  });

type Patient = Schemas['Order']['patient'];

/** As much of the patient as the service sends to this reader. */
export const patientSeen = ({ familyName, givenName, chartNumber, initials }: Patient): string =>
  familyName === undefined || givenName === undefined
    ? `${chartNumber} · ${initials}`
    : `${familyName}, ${givenName} · ${chartNumber}`;
