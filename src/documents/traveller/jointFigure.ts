/** The screws of a joint as they are seen from below, with the order of tightening. */
import { tighteningOrder } from '../../domain/fasteners.ts';
import type { Side } from '../../domain/words.ts';
import { RULES, STYLES, type Block, type PaperDocument } from '../page.ts';
import type { TextStyle } from '../text.ts';
import { drawCentred, topForMiddle } from './sheet.ts';

const SCREW: TextStyle = { sizePt: 18, weight: 'bold' };
const SCREW_RADIUS_PT = 15;
const PLATE_SHARE = 0.36;

const ORDINALS = ['1st', '2nd', '3rd', '4th', '5th', '6th', '7th', '8th'] as const;
export const ordinal = (n: number): string => ORDINALS[n - 1] ?? `${n}th`;

interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * Where the screws lie around the joint, the front of the socket upwards,
 * numbered clockwise as seen from below; a single one lies in the middle.
 * @returns unit offsets from the middle, y downwards
 */
export function screwPlaces(count: number): Point[] {
  if (count === 1) return [{ x: 0, y: 0 }];
  return Array.from({ length: count }, (_, at) => {
    const turn = (2 * Math.PI * (at + 0.5)) / count;
    return { x: Math.sin(turn), y: -Math.cos(turn) };
  });
}

/**
 * From below with the front upwards, the patient's left is on the right: for a
 * left leg the outer (lateral) side is therefore on the right of the drawing.
 */
export const lateralIsOnTheRight = (side: Side): boolean => side === 'left';

/** @param count screws of the joint, 1 to 8 */
export function jointFigure(
  doc: PaperDocument,
  count: number,
  side: Side,
  heightPt: number,
): Block {
  return {
    heightPt: () => heightPt,
    draw: (xPt, yPt, widthPt) => {
      const { pdf } = doc;
      const middle = { x: xPt + widthPt / 2, y: yPt + heightPt / 2 };
      const ring = (heightPt - 60) * PLATE_SHARE;
      const places = screwPlaces(count).map((place) => ({
        x: middle.x + place.x * ring,
        y: middle.y + place.y * ring,
      }));
      const order = tighteningOrder(count);

      pdf
        .lineWidth(RULES.hair)
        .strokeColor('black')
        .circle(middle.x, middle.y, ring + SCREW_RADIUS_PT + 6)
        .stroke();
      for (const [at, screw] of order.slice(1).entries()) {
        const from = places[(order[at] ?? 1) - 1];
        const to = places[screw - 1];
        if (from !== undefined && to !== undefined) drawArrow(doc, from, to);
      }
      for (const [at, screw] of order.entries()) {
        const place = places[screw - 1];
        if (place !== undefined) drawScrew(doc, place, middle, screw, at + 1, count);
      }

      drawCentred(doc, 'front', middle.x, yPt - 2, STYLES.strong);
      const right = lateralIsOnTheRight(side) ? 'lateral (outer)' : 'medial (inner)';
      const left = lateralIsOnTheRight(side) ? 'medial (inner)' : 'lateral (outer)';
      const foot = yPt + heightPt - 14;
      doc.type.line(left, xPt, foot, STYLES.body);
      doc.type.line(right, xPt + widthPt - doc.type.widthPt(right, STYLES.body), foot, STYLES.body);
    },
  };
}

function drawScrew(
  doc: PaperDocument,
  place: Point,
  middle: Point,
  screw: number,
  step: number,
  count: number,
): void {
  doc.pdf
    .lineWidth(RULES.heavy)
    .strokeColor('black')
    .circle(place.x, place.y, SCREW_RADIUS_PT)
    .fillAndStroke('white', 'black');
  drawCentred(doc, String(screw), place.x, topForMiddle(place.y, SCREW) + 1, SCREW);
  const out = { x: place.x - middle.x, y: place.y - middle.y };
  const length = Math.hypot(out.x, out.y);
  const away = count === 1 ? { x: 0, y: 1 } : { x: out.x / length, y: out.y / length };
  const reach = SCREW_RADIUS_PT + 20;
  drawCentred(
    doc,
    ordinal(step),
    place.x + away.x * (reach + 3),
    topForMiddle(place.y + away.y * reach, STYLES.subheading),
    STYLES.subheading,
  );
}

function drawArrow(doc: PaperDocument, from: Point, to: Point): void {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const gap = SCREW_RADIUS_PT + 3;
  const tip = { x: to.x - along.x * gap, y: to.y - along.y * gap };
  const base = { x: tip.x - along.x * 9, y: tip.y - along.y * 9 };
  doc.pdf
    .lineWidth(RULES.firm)
    .strokeColor('black')
    .moveTo(from.x + along.x * gap, from.y + along.y * gap)
    .lineTo(base.x, base.y)
    .stroke()
    .moveTo(tip.x, tip.y)
    .lineTo(base.x - along.y * 4, base.y + along.x * 4)
    .lineTo(base.x + along.y * 4, base.y - along.x * 4)
    .closePath()
    .fill('black');
}
