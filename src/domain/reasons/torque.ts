import { entry } from './reason.ts';

/** Refusals about torque, torque tools and their calibration (R4, R5). */
export const TORQUE_REASONS = {
  'torque-out-of-band': entry<{
    fastener: number;
    readingNm: number;
    acceptedFromNm: number;
    acceptedToNm: number;
  }>({
    rule: 'R4',
    kind: 'rule',
    title: 'Torque reading outside the accepted band',
    words: (f) =>
      `Fastener ${f.fastener} reads ${f.readingNm} N·m; accepted is ${f.acceptedFromNm} to ${f.acceptedToNm} N·m.`,
    wayOut: () =>
      'The reading is kept. Loosen the fastener, clean and re-apply threadlocker as its maker says, torque the whole joint again and record it.',
  }),
};
