/** All of German, fetched as one when it is chosen. */
export { de as words } from '../de.ts';
export { REASONS_IN_GERMAN as reasons } from './reasons.ts';
export { satz as phrase } from './satz.ts';
export { tag as day } from './wort.ts';
export { traceWords } from './trace.ts';

/** Says of a sentence that it is in the service's own language. */
export const inEnglish = (sentence: string): string => `${sentence} (vom Dienst, auf Englisch)`;
