/** Figures as the bench types and reads them. */
export { figureTyped, inFigures, signed } from '../words/figures.ts';
