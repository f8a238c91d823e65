/** Figures in SI with a decimal comma. */
import { measuresIn, type Measures } from '../../../domain/reasons/measures.ts';
import { METRIC } from '../../../domain/units.ts';
import { zahl } from './zahl.ts';

export const IN_GERMAN: Measures = measuresIn(METRIC, zahl);
