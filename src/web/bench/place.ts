/** The addresses of the bench. */
import { fitPage, layupPage, orderPage } from '../links.ts';
import type { Joint } from './record.ts';

export const place = {
  socket: (id: string): string => `/bench/${id}`,
  resin: (id: string): string => `/bench/${id}/resin`,
  joint: (id: string, kind: Joint['kind']): string => `/bench/${id}/joints/${kind}`,
  lock: (id: string): string => `/bench/${id}/lock`,
  hardware: (id: string): string => `/bench/${id}/hardware`,
  transfer: (id: string): string => `/bench/${id}/transfer`,
  finding: (id: string): string => `/bench/${id}/finding`,
  order: orderPage,
  layup: layupPage,
  fit: fitPage,
} as const;
