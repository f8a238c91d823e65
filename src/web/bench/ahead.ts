/** What the pages of a socket will ask for, read ahead: the network may be gone when they do. */
import { useQueryClient } from '@tanstack/preact-query';
import { useEffect } from 'preact/hooks';
import { offline } from '../offline/reach.ts';
import { kindAt, positionsOf } from './positions.ts';
import {
  batchesOf,
  benchPeople,
  freeItemsOf,
  partOf,
  places,
  resinOf,
  shopToolsOf,
  type BatchKind,
  type Socket,
} from './record.ts';

/** Lists that are no older are not read again. */
const FRESH_MS = 5 * 60_000;

/** Reads one after the other, so that what the page shows comes first. */
export function useReadAhead(socket: Socket | undefined): void {
  const queries = useQueryClient();
  const id = socket?.id;
  useEffect(() => {
    if (socket === undefined) return;
    let left = false;
    const read = async (): Promise<void> => {
      for (const query of wanted(socket)) {
        if (left || offline.value) return;
        await queries.query({ ...query, staleTime: FRESH_MS, retry: false }).catch(() => undefined);
      }
    };
    void read();
    return () => {
      left = true;
    };
  }, [id]);
}

interface Wanted {
  readonly queryKey: readonly unknown[];
  readonly queryFn: () => Promise<unknown>;
}

function wanted(socket: Socket): Wanted[] {
  const { id, kind, hardware, operations, order, state } = socket;
  if (state !== 'in_work') return [];
  const checks = operations
    .filter((each) => each.state !== 'done' && each.state !== 'left_out')
    .flatMap((each) => each.checks);
  const cups: readonly BatchKind[] = kind === 'definitive' ? ['resin', 'hardener', 'pigment'] : [];
  const batches = new Set<BatchKind>([
    ...checks.flatMap(({ batchKind }) => (batchKind === undefined ? [] : [batchKind])),
    'threadlocker',
    ...cups,
  ]);
  const pieces = new Set(positionsOf(order.suspension, hardware).map(kindAt));
  const parts = hardware.filter(({ position }) => position === 'lock' || position === 'pin');
  return [
    ...[...batches].map(batchesOf),
    shopToolsOf('torque_tool'),
    ...parts.map(({ partId }) => partOf(partId)),
    ...(kind === 'definitive' ? [resinOf(id), shopToolsOf('fabrication_dummy'), places] : []),
    ...(checks.some((check) => check.kind === 'second_person') ? [benchPeople] : []),
    ...[...pieces].map(freeItemsOf),
  ];
}
