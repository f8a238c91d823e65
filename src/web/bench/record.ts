/** What the bench reads of the record, each under one key, so that an act renews what it changed. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';

export type Socket = Schemas['Socket'];
export type Operation = Schemas['Operation'];
export type Joint = Schemas['Joint'];
export type BatchKind = Schemas['Batch']['kind'];
export type Position = Socket['hardware'][number]['position'];
export type Resin = Schemas['ResinOfSocket'];

/** A list of the bench is never longer than the service gives at once. */
const WHOLE_LIST = 200;

export const readSocket = (socketId: string): Promise<Socket> =>
  answered(api.GET('/api/v1/sockets/{socketId}', { params: { path: { socketId } } }));

export const useSocket = (socketId: string) =>
  useQuery({ queryKey: ['socket', socketId], queryFn: () => readSocket(socketId) });

export const readResin = (socketId: string): Promise<Resin> =>
  answered(api.GET('/api/v1/sockets/{socketId}/resin', { params: { path: { socketId } } }));

export const resinOf = (socketId: string) => ({
  queryKey: ['resin', socketId],
  queryFn: () => readResin(socketId),
});
export const useResin = (socketId: string) => useQuery(resinOf(socketId));

/** Batches of a kind that may be used today. */
export const batchesOf = (kind: BatchKind) => ({
  queryKey: ['batches', kind],
  queryFn: () =>
    answered(
      api.GET('/api/v1/batches', {
        params: { query: { kind, usable: 'true', limit: WHOLE_LIST } },
      }),
    ),
});
export const useBatches = (kind: BatchKind) => useQuery(batchesOf(kind));

export const shopToolsOf = (kind: Schemas['ShopTool']['kind']) => ({
  queryKey: ['shop-tools', kind],
  queryFn: () =>
    answered(api.GET('/api/v1/shop-tools', { params: { query: { kind, limit: WHOLE_LIST } } })),
});
export const useShopTools = (kind: Schemas['ShopTool']['kind']) => useQuery(shopToolsOf(kind));

export type Item = Schemas['Item'];

/** Pieces of a kind that lie in bins or out on the bench. */
export const freeItemsOf = (kind: Item['part']['kind']) => ({
  queryKey: ['free-items', kind],
  queryFn: () =>
    answered(
      api.GET('/api/v1/items', { params: { query: { kind, free: 'true', limit: WHOLE_LIST } } }),
    ),
});
export const useFreeItems = (kind: Item['part']['kind'], enabled: boolean) =>
  useQuery({ ...freeItemsOf(kind), enabled });

export const places = {
  queryKey: ['places'],
  queryFn: () => answered(api.GET('/api/v1/places')),
};
export const usePlaces = () => useQuery(places);

export const benchPeople = {
  queryKey: ['bench-people'],
  queryFn: () => answered(api.GET('/api/v1/bench-people')),
};

export const partOf = (partId: string | undefined) => ({
  queryKey: ['part', partId],
  queryFn: () =>
    answered(api.GET('/api/v1/parts/{partId}', { params: { path: { partId: partId ?? '' } } })),
});
