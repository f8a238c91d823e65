import type { LongWorkKind } from '../../domain/longWork.ts';
import type { Kind } from './kinds.ts';
import { partsImport } from './partsImport.ts';
import { patientExport } from './patientExport.ts';
import { recallOfMany } from './recallOfMany.ts';
import { recordExport } from './recordExport.ts';

export const KINDS: Readonly<Record<LongWorkKind, Kind>> = {
  recall_of_many: recallOfMany,
  record_export: recordExport,
  parts_import: partsImport,
  patient_export: patientExport,
};
