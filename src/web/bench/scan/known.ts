/** Which of the things that could be meant a code is on. What a label says, the service reads. */
import { answered, api } from '../../api.ts';
import { words } from '../../words/words.ts';
import type { Item } from '../record.ts';
import type { Code } from './codes.ts';

/** A thing that may be chosen, and what its label may say. */
export interface Known {
  readonly id: string;
  /** Serial, lot, or the name by which the shop calls it. */
  readonly codes: readonly (string | null)[];
  /** The part of a piece: lots are told apart by it. */
  readonly partId?: string;
}

/** A piece, as its label or the shop calls it. */
export const knownItem = ({ id, serial, lot, part }: Item): Known => ({
  id,
  codes: [serial, lot],
  partId: part.id,
});

/** GS1 by symbology identifier, brackets or its first element, GS1 Digital Link, HIBC. */
const CARRIER = /^(\]|\(|\+|https?:|0[01]\d{14})/;

const plain = (text: string): string => text.trim().toLowerCase();

/** GS1 carriers say by their identifier that they are such; no other needs one. */
const asScanned = ({ symbology, text }: Code): string =>
  /^\](C1|e0|d2|Q3|J1|z[12])$/.test(symbology) ? symbology + text : text;

/**
 * @returns the id of the one that was scanned, or in words why there is none
 * @throws Problem where a label cannot be read, in the service's words
 */
export async function whichOf(
  codes: readonly Code[],
  among: readonly Known[],
): Promise<{ readonly id: string } | { readonly wrong: string }> {
  const { bench: say } = words.value;
  const read = codes.map(({ text }) => plain(text));
  const named = among.filter((each) =>
    each.codes.some((code) => code !== null && read.includes(plain(code))),
  );
  const [one, another] = named;
  if (one !== undefined && another === undefined) return { id: one.id };
  const shown = codes.map(({ text }) => text.replaceAll('\u001d', ' ')).join(' ');
  if (one !== undefined) return { wrong: say.scanAmbiguous(shown) };
  const carriers = codes.map(asScanned).filter((text) => CARRIER.test(text));
  if (carriers.length === 0) return { wrong: say.scanUnknown(shown) };
  const said = await answered(
    api.POST('/api/v1/udi/readings', { body: { scans: carriers, separatorsKept: true } }),
  );
  const { serial, lot } = said.label;
  // A serial is one piece, received or not; of a lot each piece is as good as the other.
  const found =
    serial === null
      ? among.find(
          ({ partId, codes: its }) =>
            (partId === undefined || partId === said.part?.id) &&
            its.some((code) => code !== null && lot !== null && plain(code) === plain(lot)),
        )
      : among.find(({ id }) => id === said.item?.id);
  if (found !== undefined) return { id: found.id };
  return { wrong: say.scanNotHere(said.item?.label ?? [serial, lot].find(Boolean) ?? shown) };
}
