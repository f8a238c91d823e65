import { clampLoadOf } from '../../domain/clampLoad.ts';
import type { CataloguePart } from '../../store/catalogue.ts';
import type { PartView } from './schemas.ts';

/** A part as it is answered: its settings with what they make of their fasteners (R5). */
export const partView = (part: CataloguePart): PartView => ({
  ...part,
  settings: part.settings.map((setting) => ({ ...setting, ...clampLoadOf(setting) })),
});
