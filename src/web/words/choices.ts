/** Language and units as a person chose them, kept in the browser. */
import { LENGTH_UNITS, MASS_UNITS, METRIC, type Units } from '../../domain/units.ts';
import { TORQUE_UNITS } from '../../domain/words.ts';
import { readySaid } from './said.ts';
import { units } from './units.ts';
import { LANGUAGES, turnTo, type Language } from './words.ts';

const LANGUAGE_KEPT_AS = 'castbook.language';
const UNITS_KEPT_AS = 'castbook.units';

const isLanguage = (name: string | null): name is Language => name !== null && name in LANGUAGES;

/** What was chosen; else the first of the browser's languages that there is. */
function likedLanguage(): Language {
  const kept = localStorage.getItem(LANGUAGE_KEPT_AS);
  if (isLanguage(kept)) return kept;
  const liked = navigator.languages.map((each) => each.slice(0, 2));
  return liked.find(isLanguage) ?? 'en';
}

async function speak(wanted: Language): Promise<void> {
  await turnTo(wanted);
  document.documentElement.lang = wanted;
}

/** Turns to a language and keeps it for the next time. @throws where it cannot be fetched; nothing is changed then */
export async function chooseLanguage(wanted: Language): Promise<void> {
  await speak(wanted);
  localStorage.setItem(LANGUAGE_KEPT_AS, wanted);
}

const oneOf = <U extends string>(all: readonly U[], kept: unknown, otherwise: U): U =>
  all.find((each) => each === kept) ?? otherwise;

function likedUnits(): Units {
  try {
    const read = JSON.parse(localStorage.getItem(UNITS_KEPT_AS) ?? '{}') as Partial<Units>;
    return {
      length: oneOf(LENGTH_UNITS, read.length, METRIC.length),
      mass: oneOf(MASS_UNITS, read.mass, METRIC.mass),
      torque: oneOf(TORQUE_UNITS, read.torque, METRIC.torque),
    };
  } catch {
    return METRIC;
  }
}

/** Turns to the units chosen, and keeps them for the next time. */
export function chooseUnits(chosen: Partial<Units>): void {
  units.value = { ...units.value, ...chosen };
  localStorage.setItem(UNITS_KEPT_AS, JSON.stringify(units.value));
  // Without it refusals stay in the record's units, which they name.
  readySaid().catch(() => undefined);
}

/** What was chosen before. A language that cannot be fetched keeps nobody from the work: English is there. */
export async function asChosenBefore(): Promise<void> {
  units.value = likedUnits();
  await Promise.allSettled([speak(likedLanguage()), readySaid()]);
}
