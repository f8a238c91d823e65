/** What a kind of long work is: what is asked, and one step of it after another. */
import type { z } from 'zod';
import type { LongWorkKind } from '../../domain/longWork.ts';
import type { Act } from '../../store/act.ts';
import type { Json } from '../../store/events.ts';

/** A text of the result, and the same for those who do not call patients. */
export interface PieceText {
  readonly body: string;
  readonly withoutContact?: string;
}

export interface Step<Position> {
  /** Null where it is not known yet how many there are. */
  readonly total: number | null;
  readonly done: number;
  /** Where the next step goes on. */
  readonly position: Position;
  readonly piece?: PieceText;
  /** With the last step: what came of it, in figures. */
  readonly summary?: Readonly<Record<string, number>>;
}

export interface Kind {
  readonly kind: LongWorkKind;
  readonly contentType: string;
  readonly fileName: string;
  /**
   * One step, in its own short transaction, a fraction of a second at most.
   * @throws Refused: the work fails with that reason, and this step has left nothing
   */
  step(
    act: Act,
    asked: unknown,
    so: { readonly position: unknown; readonly done: number; readonly total: number | null },
  ): Promise<Step<Json>>;
}

/** A kind, with what is kept between its steps checked where it comes back from the database. */
export function kindOf<Asked, Position extends Json>(kind: {
  readonly kind: LongWorkKind;
  readonly contentType: string;
  readonly fileName: string;
  readonly asked: z.ZodType<Asked>;
  readonly position: z.ZodType<Position>;
  readonly begin: Position;
  readonly step: (
    act: Act,
    asked: Asked,
    so: { readonly position: Position; readonly done: number; readonly total: number | null },
  ) => Promise<Step<Position>>;
}): Kind {
  const { kind: name, contentType, fileName } = kind;
  return {
    kind: name,
    contentType,
    fileName,
    step: (act, asked, { position, ...so }) =>
      kind.step(act, kind.asked.parse(asked), {
        ...so,
        position: position === null ? kind.begin : kind.position.parse(position),
      }),
  };
}
