import { instantInWords } from './clockTimes.ts';
import { isInstant } from './dayWords.ts';
import { REASONS, type Facts, type Reason, type ReasonEntry } from './reasons/index.ts';
import { SI } from './reasons/measures.ts';

const instantsIn = (facts: Facts): [string, string][] =>
  Object.entries(facts).flatMap(([name, fact]): [string, string][] =>
    typeof fact === 'string' && isInstant(fact) ? [[name, fact]] : [],
  );

/** Whether a reason tells an instant, which people read in the clinic's zone (R16). */
export const tellsInstants = ({ facts }: Reason): boolean => instantsIn(facts).length > 0;

/**
 * The reason with its instants said in a zone. Its facts stay as they are: instants in UTC.
 * @param timeZone IANA name, of the clinic
 */
export function saidIn(timeZone: string, made: Reason): Reason {
  // Each reason was made from this very line.
  const line = REASONS[made.code as keyof typeof REASONS] as unknown as ReasonEntry<Facts>;
  const inWords = Object.fromEntries(
    instantsIn(made.facts).map(([name, at]) => [name, instantInWords(new Date(at), timeZone)]),
  );
  const facts = { ...made.facts, ...inWords };
  return { ...made, detail: line.words(facts, SI), wayOut: line.wayOut(facts, SI) };
}
