/**
 * Phrases that the service puts into a refusal, in German: word for word where they are
 * fixed, by their pattern where a figure or a name stands in them. What is in neither is a
 * name, or words that the clinic itself has written, and stays as it is.
 */
import { inUnits, type Measures } from '../../../domain/reasons/measures.ts';
import { IN_GERMAN } from './measures.ts';
import { patterns } from './patterns.ts';
import { PHRASES } from './phrases.ts';

/** What an optional group did not find. */
const orNothing = (group: string | undefined): string => group ?? '';

const PATTERNS = patterns((phrase) => satz(phrase));

/** @param say where a length, a mass or a torque may stand in it, the units that are shown */
export function satz(phrase: string, say: Measures = IN_GERMAN): string {
  const whole = PHRASES[phrase];
  if (whole !== undefined) return whole;
  for (const [pattern, inGerman] of PATTERNS) {
    const found = pattern.exec(phrase);
    if (found !== null) return inUnits(inGerman(...found.slice(1).map(orNothing)), say, ',');
  }
  return phrase;
}
