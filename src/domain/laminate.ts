/**
 * What fibre and resin make together (C2): fractions by volume and by mass,
 * density, thickness. For a laminate without voids.
 */

/** A formula as it is told to a prosthetist, beside the figure that it gives. */
export interface Formula {
  readonly formula: string;
  readonly units: string;
  readonly source: string;
}

const COURSE_NOTES =
  'Course notes "Fibre volume fraction and laminate thickness", after Hull, Introduction to Composite Materials';

export const LAMINATE_FORMULAS = {
  fibreVolumeFraction: {
    formula: 'V_f = (W_f/ρ_f) / (W_f/ρ_f + (1 − W_f)/ρ_m)',
    units: 'fractions; ρ in g/cm³',
    source: COURSE_NOTES,
  },
  fibreMassFraction: {
    formula: 'W_f = V_f·ρ_f / (V_f·ρ_f + (1 − V_f)·ρ_m)',
    units: 'fractions; ρ in g/cm³',
    source: COURSE_NOTES,
  },
  thickness: {
    formula: 't = Σ n·A_w / (ρ_f·V_f)',
    units: 'mm; A_w in g/m² divided by 1000, ρ_f in g/cm³',
    source: `${COURSE_NOTES}; the same as method II of ASTM D3171 (from memory)`,
  },
  density: {
    formula: 'ρ = V_f·ρ_f + (1 − V_f)·ρ_m',
    units: 'g/cm³',
    source: COURSE_NOTES,
  },
  shellMass: {
    formula: 'm = Σ area·n·A_w / W_f',
    units: 'g; area in m², A_w in g/m²',
    source: 'mass balance: the fibre is the share W_f of the laminate',
  },
} as const satisfies Record<string, Formula>;

/**
 * Fibre volume fraction from the fibre mass fraction (both 0 to 1), densities
 * of fibre and cured resin in g/cm³.
 */
export const fibreVolumeFraction = (
  fibreMassFraction: number,
  fibreDensityGcm3: number,
  resinDensityGcm3: number,
): number => {
  const fibre = fibreMassFraction / fibreDensityGcm3;
  return fibre / (fibre + (1 - fibreMassFraction) / resinDensityGcm3);
};

/** Fibre mass fraction from the fibre volume fraction: the other way round. */
export const fibreMassFraction = (
  volumeFraction: number,
  fibreDensityGcm3: number,
  resinDensityGcm3: number,
): number => {
  const fibre = volumeFraction * fibreDensityGcm3;
  return fibre / (fibre + (1 - volumeFraction) * resinDensityGcm3);
};

/** Density of the laminate in g/cm³. */
export const laminateDensityGcm3 = (
  volumeFraction: number,
  fibreDensityGcm3: number,
  resinDensityGcm3: number,
): number => volumeFraction * fibreDensityGcm3 + (1 - volumeFraction) * resinDensityGcm3;

/** g/m² by g/cm³ is µm; a thousand of them are a millimetre. */
const UM_PER_MM = 1_000;

/** Thickness in mm of `layers` plies of one fabric in a laminate. */
export const laminateThicknessMm = (ply: {
  readonly layers: number;
  readonly arealDensityGm2: number;
  readonly fibreDensityGcm3: number;
  readonly fibreVolumeFraction: number;
}): number =>
  (ply.layers * ply.arealDensityGm2) / (UM_PER_MM * ply.fibreDensityGcm3 * ply.fibreVolumeFraction);
