/** Each paper as it is asked of the service. */
import { answered, api } from '../api.ts';

const asPdf = { parseAs: 'blob' } as const;

export const socketLabel = (socketId: string) => () =>
  answered(
    api.GET('/api/v1/sockets/{socketId}/label.pdf', { params: { path: { socketId } }, ...asPdf }),
  );
export const modelLabel = (castId: string) => () =>
  answered(api.GET('/api/v1/casts/{castId}/label.pdf', { params: { path: { castId } }, ...asPdf }));
export const binLabel = (placeId: string) => () =>
  answered(
    api.GET('/api/v1/places/{placeId}/label.pdf', { params: { path: { placeId } }, ...asPdf }),
  );
export const moveSlip = (socketId: string) => () =>
  answered(
    api.GET('/api/v1/sockets/{socketId}/move-slip.pdf', {
      params: { path: { socketId } },
      ...asPdf,
    }),
  );
export const deliveryRecord = (socketId: string) => () =>
  answered(
    api.GET('/api/v1/sockets/{socketId}/delivery-record.pdf', {
      params: { path: { socketId } },
      ...asPdf,
    }),
  );
export const wearerSheet = (socketId: string) => () =>
  answered(
    api.GET('/api/v1/sockets/{socketId}/wearer-sheet.pdf', {
      params: { path: { socketId } },
      ...asPdf,
    }),
  );
