/** The checks of an operation as the domain has them, and what was typed as its answers. */
import type { Answers, Check } from '../../domain/operations.ts';
import type { Schemas } from '../api.ts';
import { words } from '../words/words.ts';
import { figureTyped } from './figures.ts';

/** What was typed or chosen for one check; a batch's id with its amount as typed. */
export interface Typed {
  readonly text?: string;
  readonly yes?: boolean;
  readonly id?: string;
  /** Pictures in base64. */
  readonly photos?: readonly string[];
}
/** An answer as it is sent; the domain's `Answer` that leaves out what it has not. */
type Sent =
  | boolean
  | number
  | string
  | { batchId: string; amount?: number }
  | { personId: string }
  | { scan: string }
  | { photos: { base64: string }[] };
export type TypedAnswers = Readonly<Record<string, Typed>>;

/** The wire leaves out what a kind of check does not have. */
export function checkOf(sent: Schemas['Check']): Check {
  const { key, ask } = sent;
  switch (sent.kind) {
    case 'measured':
      return {
        kind: 'measured',
        key,
        ask,
        unit: sent.unit ?? '',
        min: sent.min ?? null,
        max: sent.max ?? null,
      };
    case 'batch':
      return {
        kind: 'batch',
        key,
        ask,
        batchKind: sent.batchKind ?? 'resin',
        amountAsked: sent.amountAsked === true,
      };
    case 'scan':
      return { kind: 'scan', key, ask, of: sent.of ?? 'anything' };
    case 'yes_no':
    case 'note':
    case 'second_person':
    case 'photo':
      return { kind: sent.kind, key, ask };
  }
}

/** A figure, or as it was typed where it is none: the service then says what it expects. */
function figureOr(text: string): number | string | undefined {
  const figure = figureTyped(text);
  return Number.isNaN(figure) ? text : figure;
}

function answerOf(check: Check, { text = '', yes, id, photos = [] }: Typed): Sent | undefined {
  switch (check.kind) {
    case 'yes_no':
      return yes;
    case 'measured':
      return figureOr(text);
    case 'note':
      return text.trim() === '' ? undefined : text;
    case 'scan':
      return text.trim() === '' ? undefined : { scan: text };
    case 'photo':
      return photos.length === 0 ? undefined : { photos: photos.map((base64) => ({ base64 })) };
    case 'second_person':
      return id === undefined || id === '' ? undefined : { personId: id };
    case 'batch': {
      if (id === undefined || id === '') return undefined;
      const amount = figureTyped(text);
      return { batchId: id, ...(amount === undefined || Number.isNaN(amount) ? {} : { amount }) };
    }
  }
}

/** What is answered so far, as it is sent. */
export const answersOf = (checks: readonly Check[], typed: TypedAnswers): Record<string, Sent> =>
  Object.fromEntries(
    checks.flatMap((check) => {
      const answer = answerOf(check, typed[check.key] ?? {});
      return answer === undefined ? [] : [[check.key, answer]];
    }),
  );

/** The same as the domain judges it, before a picture has an id of its own. */
export const judgedAs = (sent: Readonly<Record<string, Sent>>): Answers =>
  Object.fromEntries(
    Object.entries(sent).map(([key, answer]) => [
      key,
      typeof answer === 'object' && 'photos' in answer
        ? { photoIds: answer.photos.map((_, at) => String(at)) }
        : answer,
    ]),
  );

/** What is answered so far, in words: of a batch or a person only how much of it. */
export const toldOf = (
  checks: readonly Check[],
  typed: TypedAnswers,
): readonly (readonly [label: string, value: string])[] =>
  checks.flatMap(({ key, ask }) => {
    const { text = '', yes } = typed[key] ?? {};
    const { yesNo } = words.value.bench;
    const value = yes === undefined ? text : yes ? yesNo.yes : yesNo.no;
    return value === '' ? [] : [[ask, value] as const];
  });
