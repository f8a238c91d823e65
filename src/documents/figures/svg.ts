/** A figure as SVG 1.1: attributes only, without styles or scripts, so that no page's policy stands in its way. */
import { DASH_PT, INKS, TEXT_PT, type Figure, type Shape } from './figure.ts';

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
};
/** Characters that XML 1.0 has no way to say. */
// eslint-disable-next-line no-control-regex -- these are the very ones
const NOT_IN_XML = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;
const escaped = (text: string): string =>
  text.replace(NOT_IN_XML, '\ufffd').replace(/[&<>"]/g, (each) => ESCAPES[each] ?? each);

/** To the hundredth of a point: no eye sees more, and the same figure has the same bytes. */
const n = (value: number): string => String(Number(value.toFixed(2)));

const strokeOf = (shape: Extract<Shape, { kind: 'path' | 'circle' }>): string =>
  `stroke="${INKS[shape.ink ?? 'black']}" stroke-width="${n(shape.weightPt ?? 1)}"` +
  (shape.dashed === true ? ` stroke-dasharray="${DASH_PT.join(' ')}"` : '');

function elementOf(shape: Shape): string {
  switch (shape.kind) {
    case 'path': {
      const d = shape.points.map(({ x, y }, at) => `${at === 0 ? 'M' : 'L'}${n(x)} ${n(y)}`);
      const fill = shape.fill === undefined ? 'none' : INKS[shape.fill];
      const stroke = shape.bare === true ? 'stroke="none"' : strokeOf(shape);
      return `<path d="${d.join('')}${shape.closed === true ? 'Z' : ''}" fill="${fill}" ${stroke}/>`;
    }
    case 'circle': {
      const fill = shape.fill === undefined ? 'none' : INKS[shape.fill];
      return `<circle cx="${n(shape.at.x)}" cy="${n(shape.at.y)}" r="${n(shape.radiusPt)}" fill="${fill}" ${strokeOf(shape)}/>`;
    }
    case 'text': {
      const { at, anchor = 'start', sizePt = TEXT_PT, bold = false, ink = 'black' } = shape;
      return (
        `<text x="${n(at.x)}" y="${n(at.y)}" text-anchor="${anchor}" font-size="${n(sizePt)}" ` +
        `font-weight="${bold ? 'bold' : 'normal'}" fill="${INKS[ink]}">${escaped(shape.text)}</text>`
      );
    }
  }
}

/** @returns the whole document; its size is the figure's in points, and it scales with its frame */
export const svgOf = ({ title, description, widthPt, heightPt, shapes }: Figure): string =>
  [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${n(widthPt)}pt" height="${n(heightPt)}pt" ` +
      `viewBox="0 0 ${n(widthPt)} ${n(heightPt)}" role="img" font-family="sans-serif">`,
    `<title>${escaped(title)}</title>`,
    `<desc>${escaped(description)}</desc>`,
    `<path d="M0 0L${n(widthPt)} 0L${n(widthPt)} ${n(heightPt)}L0 ${n(heightPt)}Z" fill="${INKS.white}"/>`,
    ...shapes.map(elementOf),
    '</svg>',
    '',
  ].join('\n');
