import { limbProfileFigure, PROFILE_ON_PAGE } from '../../documents/figures/limbProfile.ts';
import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { decideOnVolume } from './decide.ts';
import {
  ComparisonQuery,
  MeasureSets,
  MeasureSetTaken,
  MeasureSetToTake,
  OrderParams,
  ProfileQuery,
  SetParams,
  VolumeComparisonView,
  VolumeDecided,
  VolumeDecisionToMake,
} from './schemas.ts';
import { compareSets, listMeasureSets, readProfile, takeMeasures } from './service.ts';

const tag = 'Limb';

/** Measures of the limb at any visit, its volume, and what was decided where it changed. */
export function limbRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/orders/:orderId/measure-sets',
      name: 'listMeasureSets',
      tag,
      summary: 'All measures of the limb of an order, over all orders of the patient',
      description:
        'Same patient and side, the oldest first, each with volume and area; and what became of the limb since its newest accepted cast.',
      params: OrderParams,
      answer: MeasureSets,
    },
    (act, { params }) => listMeasureSets(act, params.orderId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/orders/:orderId/measure-sets',
      name: 'takeMeasures',
      tag,
      summary: 'Record measures of the limb at a fitting, the delivery or a follow-up',
      description:
        'The answer compares them with the newest accepted cast of the limb, and asks the prosthetist where the change is past the clinic’s limit.',
      params: OrderParams,
      body: MeasureSetToTake,
      answer: MeasureSetTaken,
    },
    (act, { params, body }) => takeMeasures(act, params.orderId, body),
  );
  api.read(
    {
      url: '/api/v1/measure-sets/comparison',
      name: 'compareMeasureSets',
      tag,
      summary: 'Two sets of measures of one limb: mL, per cent, ply of sock',
      description:
        'Over the heights that both have. Sets of two patients, sides or levels are refused.',
      query: ComparisonQuery,
      answer: VolumeComparisonView,
    },
    (act, { query }) => compareSets(act, query.first, query.second),
  );
  api.document(
    {
      url: '/api/v1/measure-sets/:measureSetId/profile.svg',
      name: 'drawLimbProfile',
      tag,
      summary: 'The limb drawn from its measures, another set dashed over it',
      params: SetParams,
      query: ProfileQuery,
      contentType: 'image/svg+xml; charset=utf-8',
    },
    (act, { params, query }) => readProfile(act, params.measureSetId, query.with),
    (record, { params }) => ({
      bytes: svgOf(limbProfileFigure(record, PROFILE_ON_PAGE)),
      fileName: `limb-profile-${params.measureSetId}.svg`,
    }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/volume-decisions',
      name: 'decideOnVolume',
      tag,
      summary: 'Decide on a limb that changed past the clinic’s limit: new cast, socks, as it is',
      description:
        'Only where the comparison asks, and once for two sets. The figures are computed here and kept with the limit of that moment. At lamination and delivery a new cast takes the order back to casting; elsewhere the answer says which act does.',
      body: VolumeDecisionToMake,
      answer: VolumeDecided,
    },
    (act, { body }) => decideOnVolume(act, body),
  );
}
