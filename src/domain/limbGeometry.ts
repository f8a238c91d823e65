/**
 * C1: volume, area and profile of a residual limb from circumferences at
 * heights, and what became of the volume between two days.
 *
 * Between two heights the limb is taken for a truncated cone with a round
 * section (Medical Algorithms, "Estimating the volume of a swollen limb using a
 * series of truncated cones"), below the lowest one for half an ellipsoid. By
 * tape against water displacement such volumes repeat well and are off by 2 to
 * 8 % (Chromy et al., SpringerPlus 2015): good for a change in one limb, not for
 * a limb against another method.
 */
import { questionTable, type LimbMeasure } from './measures.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

const MM3_PER_ML = 1_000;
const TURN = 2 * Math.PI;

/** Neighbouring heights as a truncated cone: rise in mm, circumferences below and above in mm. */
interface Segment {
  readonly riseMm: number;
  readonly below: number;
  readonly above: number;
}

const segmentsOf = (measures: readonly LimbMeasure[]): Segment[] =>
  measures.flatMap((top, index) => {
    const foot = measures[index - 1];
    if (foot === undefined) return [];
    const riseMm = top.heightMm - foot.heightMm;
    return [{ riseMm, below: foot.circumferenceMm, above: top.circumferenceMm }];
  });

const sum = (values: readonly number[]): number => values.reduce((total, each) => total + each, 0);

/** Length of the wall up the cone, √(h² + ((C₁ − C₂)/2π)²), in mm. */
const slantMm = ({ riseMm, below, above }: Segment): number =>
  Math.hypot(riseMm, (below - above) / TURN);

/**
 * Volume of the stacked truncated cones, Σ h·(C₁² + C₁C₂ + C₂²)/12π, in mL;
 * without the distal cap.
 */
export const conesMl = (measures: readonly LimbMeasure[]): number =>
  sum(
    segmentsOf(measures).map(
      ({ riseMm, below, above }) =>
        (riseMm * (below ** 2 + below * above + above ** 2)) / (12 * Math.PI),
    ),
  ) / MM3_PER_ML;

/** Lateral area of the stacked truncated cones, Σ ½(C₁ + C₂)·slant, in mm². */
export const lateralAreaMm2 = (measures: readonly LimbMeasure[]): number =>
  sum(segmentsOf(measures).map((each) => ((each.below + each.above) / 2) * slantMm(each)));

/** Volume of half an ellipsoid of revolution, ⅔πr²·depth, in mL. */
export const capMl = (radiusMm: number, depthMm: number): number =>
  ((2 / 3) * Math.PI * radiusMm ** 2 * depthMm) / MM3_PER_ML;

/** A cap shallower than this share of its radius has the area of a flat disc to twelve digits. */
const FLAT_SHARE = 1e-6;

/**
 * Area of half an ellipsoid of revolution without its base, in mm²: half of
 * 2πr²(1 + (1 − e²)/e·artanh e) where it is flatter than a sphere, half of
 * 2πr²(1 + depth/(r·e)·arcsin e) where it is deeper (closed forms of the
 * spheroid's surface, from memory; tested against numerical integration).
 */
export function capAreaMm2(radiusMm: number, depthMm: number): number {
  const share = depthMm / radiusMm;
  const disc = Math.PI * radiusMm ** 2;
  if (share < FLAT_SHARE) return disc;
  if (share === 1) return 2 * disc;
  if (share < 1) {
    const e = Math.sqrt(1 - share ** 2);
    return disc * (1 + (share ** 2 * Math.atanh(e)) / e);
  }
  const e = Math.sqrt(1 - share ** -2);
  return disc * (1 + (share * Math.asin(e)) / e);
}

/**
 * Length over the cap from its edge to the tip: a quarter of an ellipse, by
 * Ramanujan's second approximation (from memory; at worst 0.04 % short, where
 * the cap is flat).
 */
export function capArcMm(radiusMm: number, depthMm: number): number {
  const h = ((radiusMm - depthMm) / (radiusMm + depthMm)) ** 2;
  return ((Math.PI * (radiusMm + depthMm)) / 4) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
}

export const CAP_DEPTH: Range = {
  what: 'Depth of the distal cap',
  least: 0,
  greatest: 200,
  unit: 'mm',
  usual: '10 to 50 mm',
};

/** A tape on soft tissue tells the two lengths apart by so much. Common practice, no source. */
const CAP_WITHIN_MM = 10;

/**
 * A cap depth as it is entered: in its range, and where the table starts above the distal
 * end no other length than that. Nothing to ask where nobody measured it.
 * @returns 'value-out-of-range' or 'cap-depth-disagrees'
 */
export function questionCap(measures: readonly LimbMeasure[], capDepthMm: number | null): Reason[] {
  if (capDepthMm === null) return [];
  const outside = questionRange(capDepthMm, CAP_DEPTH, '/capDepthMm');
  const lowestMm = measures[0]?.heightMm ?? 0;
  if (outside.length > 0 || lowestMm <= 0) return outside;
  if (Math.abs(capDepthMm - lowestMm) <= CAP_WITHIN_MM) return [];
  const facts = { capDepthMm, lowestMm, withinMm: CAP_WITHIN_MM };
  return [reason('cap-depth-disagrees', facts, '/capDepthMm')];
}

/** Where nobody measured it, the cap is half as deep as its radius. Common practice, no source. */
const ASSUMED_CAP_SHARE = 0.5;

/**
 * The end below the lowest height. Its depth was `given`, or is the `lowest_height`
 * of a table that does not start at the distal end, or is `assumed`: say which.
 */
export interface DistalCap {
  readonly depthMm: number;
  readonly source: 'given' | 'lowest_height' | 'assumed';
}

/** A point of the limb's outline: height above the distal end, distance from its axis. */
export interface ProfilePoint {
  readonly heightMm: number;
  readonly radiusMm: number;
}

/** Volumes in mL, areas in mm², lengths in mm. `wall` is the part with measures, without the cap. */
export interface LimbGeometry {
  readonly fromMm: number;
  readonly toMm: number;
  readonly cap: DistalCap;
  readonly conesMl: number;
  readonly capMl: number;
  readonly volumeMl: number;
  readonly lateralAreaMm2: number;
  readonly capAreaMm2: number;
  readonly areaMm2: number;
  /** Up the wall from the lowest to the highest measure. */
  readonly wallLengthMm: number;
  readonly capArcMm: number;
  readonly greatestCircumferenceMm: number;
  /** Lateral area by length of the wall. */
  readonly meanCircumferenceMm: number;
  /** From the tip of the cap to the highest measure. */
  readonly profile: readonly ProfilePoint[];
}

const radiusOf = (circumferenceMm: number): number => circumferenceMm / TURN;

function capOf(lowest: LimbMeasure, capDepthMm: number | null): DistalCap {
  if (capDepthMm !== null) return { depthMm: capDepthMm, source: 'given' };
  if (lowest.heightMm > 0) return { depthMm: lowest.heightMm, source: 'lowest_height' };
  return {
    depthMm: ASSUMED_CAP_SHARE * radiusOf(lowest.circumferenceMm),
    source: 'assumed',
  };
}

const CAP_STEPS = 16;

/** The outline of a limb from the tip of its cap upwards, to be drawn. */
export function limbProfile(measures: readonly LimbMeasure[], cap: DistalCap): ProfilePoint[] {
  const [lowest] = measures;
  if (lowest === undefined) return [];
  const radiusMm = radiusOf(lowest.circumferenceMm);
  const end = Array.from({ length: CAP_STEPS }, (_, step): ProfilePoint => {
    const angle = (Math.PI / 2) * (step / CAP_STEPS);
    return {
      heightMm: lowest.heightMm - cap.depthMm * Math.cos(angle),
      radiusMm: radiusMm * Math.sin(angle),
    };
  });
  const wall = measures.map(({ heightMm, circumferenceMm }) => ({
    heightMm,
    radiusMm: radiusOf(circumferenceMm),
  }));
  return [...end, ...wall];
}

/**
 * Works out a limb from its table of measures.
 * @param measures heights rising from the distal end
 * @param capDepthMm from the lowest height to the tip of the limb, in mm; null where
 *   nobody measured it
 * @returns the geometry, or 'measures-too-few', 'measures-implausible',
 *   'value-out-of-range'. Whether a limb has such measures is `questionMeasures`.
 */
export function limbGeometry(
  measures: readonly LimbMeasure[],
  capDepthMm: number | null,
): Verdict<LimbGeometry> {
  const against = [
    ...questionTable(measures),
    ...(capDepthMm === null ? [] : questionRange(capDepthMm, CAP_DEPTH, '/capDepthMm')),
  ];
  const [lowest] = measures;
  const highest = measures.at(-1);
  if (lowest === undefined || highest === undefined || against.length > 0) return refused(against);

  const cap = capOf(lowest, capDepthMm);
  const radiusMm = radiusOf(lowest.circumferenceMm);
  const wallAreaMm2 = lateralAreaMm2(measures);
  const wallLengthMm = sum(segmentsOf(measures).map(slantMm));
  const volumes = { conesMl: conesMl(measures), capMl: capMl(radiusMm, cap.depthMm) };
  const areaOfCapMm2 = capAreaMm2(radiusMm, cap.depthMm);
  return granted({
    fromMm: lowest.heightMm,
    toMm: highest.heightMm,
    cap,
    ...volumes,
    volumeMl: volumes.conesMl + volumes.capMl,
    lateralAreaMm2: wallAreaMm2,
    capAreaMm2: areaOfCapMm2,
    areaMm2: wallAreaMm2 + areaOfCapMm2,
    wallLengthMm,
    capArcMm: capArcMm(radiusMm, cap.depthMm),
    greatestCircumferenceMm: Math.max(...measures.map((each) => each.circumferenceMm)),
    meanCircumferenceMm: wallAreaMm2 / wallLengthMm,
    profile: limbProfile(measures, cap),
  });
}

/**
 * The part of a table between two heights inside its range. At the cuts the
 * circumference is interpolated linearly, as in the cone that is cut, so that
 * the parts' volumes add up to the whole.
 */
export function measuresBetween(
  measures: readonly LimbMeasure[],
  fromMm: number,
  toMm: number,
): LimbMeasure[] {
  const cutAt = (heightMm: number): LimbMeasure[] => {
    const at = measures.findIndex((each) => each.heightMm > heightMm);
    const foot = measures[at - 1];
    const top = measures[at];
    if (foot === undefined || top === undefined || foot.heightMm === heightMm) return [];
    const share = (heightMm - foot.heightMm) / (top.heightMm - foot.heightMm);
    const circumferenceMm =
      foot.circumferenceMm + share * (top.circumferenceMm - foot.circumferenceMm);
    return [{ heightMm, circumferenceMm }];
  };
  const inside = measures.filter(({ heightMm }) => heightMm >= fromMm && heightMm <= toMm);
  return [...cutAt(fromMm), ...inside, ...cutAt(toMm)];
}
