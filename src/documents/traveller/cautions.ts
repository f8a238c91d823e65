/** What can hurt somebody at this work. Common practice, no source; the makers' sheets decide. */
import { framed } from '../form.ts';
import { heading, stack, STYLES, textBlock } from '../page.ts';
import type { Section } from './sheet.ts';

const CAUTIONS: readonly (readonly [string, string])[] = [
  [
    'Resin and hardener',
    'harm skin, eyes and lungs; a full cup heats by itself. Nitrile gloves, goggles, fresh air.',
  ],
  ['Solvents', 'give vapours that burn and stupefy. Fresh air, no flame, closed containers.'],
  ['Heat', 'of ovens, sheets and curing resin burns. Gloves, long sleeves, nobody behind you.'],
  ['Dust', 'of fibre and plaster harms lungs and eyes. Extraction on, mask and goggles.'],
  [
    'A lock that lets go',
    'throws the wearer. No step is taken on a joint or lock that is open on this sheet.',
  ],
  [
    'A body mass over a rating',
    'breaks parts. Weigh before delivery; the part’s own label decides.',
  ],
];

export const drawCautions: Section = ({ doc }) => {
  const blocks = [
    ...CAUTIONS.map(([what, does]) => textBlock(doc, `${what} ${does}`)),
    textBlock(
      doc,
      'Follow the maker’s instructions and local rules; the licensed prosthetist decides.',
      STYLES.strong,
    ),
  ];
  const frame = framed(doc, stack(blocks, 3));
  heading(doc, 'Cautions', { keepPt: frame.heightPt(doc.widthPt) });
  doc.place(frame);
};
