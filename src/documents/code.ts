/** Two-dimensional codes as vectors: they stay sharp on any printer. */
import bwip from 'bwip-js/node';
import type { PaperDocument } from './page.ts';

/** Light margin around a QR code, in modules (ISO/IEC 18004). */
const QUIET_MODULES = 4;

/**
 * Draws a QR code, its light margin included, into a square. Error correction
 * Q: a quarter of it may be hidden by dust or resin.
 * @param sidePt side of the square in points
 */
export function drawQrCode(
  doc: Pick<PaperDocument, 'pdf'>,
  text: string,
  xPt: number,
  yPt: number,
  sidePt: number,
): void {
  const { pixs, modules } = modulesOf(text, 'Q');
  const modulePt = sidePt / (modules + 2 * QUIET_MODULES);
  doc.pdf.fillColor('black');
  for (let row = 0; row * modules < pixs.length; row += 1) {
    for (let column = 0; column < modules; column += 1) {
      let dark = 0;
      while (column + dark < modules && pixs[row * modules + column + dark] === 1) dark += 1;
      if (dark === 0) continue;
      doc.pdf.rect(
        xPt + (column + QUIET_MODULES) * modulePt,
        yPt + (row + QUIET_MODULES) * modulePt,
        dark * modulePt,
        modulePt,
      );
      column += dark;
    }
  }
  doc.pdf.fill();
}

/**
 * A QR code with its light margin as an SVG, dark on light whatever the page's colours are.
 * Error correction M: it is read from a screen.
 */
export function qrCodeSvg(text: string): string {
  const { pixs, modules } = modulesOf(text, 'M');
  const side = modules + 2 * QUIET_MODULES;
  let path = '';
  pixs.forEach((dark, at) => {
    const column = (at % modules) + QUIET_MODULES;
    const row = Math.floor(at / modules) + QUIET_MODULES;
    if (dark === 1) path += `M${column} ${row}h1v1h-1z`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${side} ${side}" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h${side}v${side}H0z"/><path fill="#000" d="${path}"/></svg>`;
}

function modulesOf(text: string, errorCorrection: 'M' | 'Q') {
  const [symbol] = bwip.raw('qrcode', text, `eclevel=${errorCorrection}`);
  if (symbol === undefined || !('pixs' in symbol)) throw new Error('The code was not drawn.');
  return { pixs: Array.from(symbol.pixs), modules: symbol.pixx };
}
