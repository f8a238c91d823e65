/** What a layup is worked out from: the wearer today, the limb as cast, rules, fabrics, resin. */
import type { LayupShape } from '../../domain/cutList.ts';
import type { Fabric } from '../../domain/fabrics.ts';
import { workOutLayup, type LayupFigures } from '../../domain/layup.ts';
import {
  rowInForce,
  TYPICAL_RESIN,
  type DraftBasis,
  type ResinDensity,
} from '../../domain/layupDraft.ts';
import type { LayupLine, LayupRules } from '../../domain/layupRules.ts';
import { limbGeometry } from '../../domain/limbGeometry.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { listFabrics, type FabricRecord } from '../../store/fabrics.ts';
import { currentLayupRules } from '../../store/layupRules.ts';
import { loadLayupGrounds } from '../../store/layups.ts';
import { orRefuse, Refused } from '../../store/refused.ts';
import {
  listResinProducts,
  loadResinProduct,
  type ResinProductRow,
} from '../../store/resinProducts.ts';
import type { SocketFacts } from '../../store/sockets.ts';

export interface LayupFacts {
  readonly ruleSetId: string;
  readonly rules: LayupRules;
  /** Those in use. */
  readonly fabrics: readonly Fabric[];
  readonly patient: DraftBasis['patient'];
  readonly limb: DraftBasis['limb'];
  readonly shape: LayupShape;
}

/**
 * The facts about a definitive socket as they are today.
 * @throws Refused 'layup-of-definitive-only', 'layup-without-body-mass', and what stands against its measures
 */
export async function loadLayupFacts(act: Act, socket: SocketFacts): Promise<LayupFacts> {
  if (socket.kind !== 'definitive') {
    throw new Refused([reason('layup-of-definitive-only', { socket: socket.number })]);
  }
  const grounds = await loadLayupGrounds(act, socket.id);
  const { bodyMassKg, bodyMassOn, functionalLevel, level, measures, capDepthMm } = grounds;
  if (bodyMassKg === null || bodyMassOn === null) {
    throw new Refused([reason('layup-without-body-mass', { patient: socket.chartNumber })]);
  }
  const limb = orRefuse(limbGeometry(measures, capDepthMm));
  const ruleSet = await currentLayupRules(act);
  return {
    ruleSetId: ruleSet.id,
    rules: ruleSet.rules,
    fabrics: (await listFabrics(act, false)).map(sheetOf),
    patient: { bodyMassKg, bodyMassOn, functionalLevel, level },
    limb: {
      measureSetId: grounds.measureSetId,
      castNumber: socket.castNumber,
      takenOn: grounds.takenOn,
      measures,
      cap: limb.cap,
    },
    shape: {
      wallLengthMm: limb.wallLengthMm,
      capArcMm: limb.capArcMm,
      areaMm2: limb.areaMm2,
      greatestCircumferenceMm: limb.greatestCircumferenceMm,
      meanCircumferenceMm: limb.meanCircumferenceMm,
    },
  };
}

const sheetOf = (fabric: FabricRecord): Fabric => ({
  id: fabric.id,
  name: fabric.name,
  material: fabric.material,
  form: fabric.form,
  arealDensityGm2: fabric.arealDensityGm2,
  widthMm: fabric.widthMm,
  fibreDensityGcm3: fabric.fibreDensityGcm3,
  stretchPercent: fabric.stretchPercent,
});

/**
 * The density to reckon with: of the product named, else of the only one in use,
 * else a typical one, said to be so.
 */
export async function resinFor(act: Act, productId: string | undefined): Promise<ResinDensity> {
  if (productId === undefined) {
    const [only, another] = await listResinProducts(act, {
      active: true,
      afterName: null,
      take: 2,
    });
    return only === undefined || another !== undefined ? TYPICAL_RESIN : densityOf(only);
  }
  const product = await loadResinProduct(act, productId, '/resinProductId');
  if (product.active) return densityOf(product);
  const { name } = product;
  throw new Refused([reason('resin-product-withdrawn', { product: name }, '/resinProductId')]);
}

const densityOf = (product: ResinProductRow): ResinDensity => ({
  productId: product.id,
  name: product.name,
  densityGcm3: product.densityGcm3,
  source: `${product.document}, revision ${product.revision}`,
});

export interface WorkedOut {
  readonly basis: DraftBasis;
  readonly figures: LayupFigures;
}

/** Works layers out, and keeps with the figures what they came from: of the fabrics, those in it. */
export function workOut(
  facts: LayupFacts,
  lines: readonly LayupLine[],
  resin: ResinDensity,
  fibreMassFraction: number,
): WorkedOut {
  const { rules, patient, limb, shape } = facts;
  const used = new Set(lines.flatMap((line) => (line.kind === 'fabric' ? [line.fabric] : [])));
  const basis: DraftBasis = {
    patient,
    row: rowInForce(rules, patient),
    limb,
    shape,
    fabrics: facts.fabrics.filter(({ id }) => used.has(id)),
    allowances: rules.allowances,
    fibreMassFraction,
    resinDensityGcm3: resin.densityGcm3,
    resin,
  };
  return { basis, figures: orRefuse(workOutLayup(lines, basis)) };
}
