/** What the list of orders is asked, as it stands in the address. No name ever stands there. */
import type { paths } from '../../generated/api.ts';

type Query = NonNullable<paths['/api/v1/orders']['get']['parameters']['query']>;

export interface Asked {
  /** An order number or a chart number. */
  readonly q: string;
  /** A patient's id. */
  readonly patient: string;
  /** A stage, or `all`; nothing: under way, but where somebody is looked for. */
  readonly stage: string;
  /** `true`, or nothing. */
  readonly held: string;
  readonly late: string;
  readonly atRisk: string;
  readonly sort: string;
}

export const askedOf = (address: URLSearchParams): Asked => ({
  q: address.get('q') ?? '',
  patient: address.get('patient') ?? '',
  stage: address.get('stage') ?? '',
  held: address.get('held') ?? '',
  late: address.get('late') ?? '',
  atRisk: address.get('atRisk') ?? '',
  sort: address.get('sort') ?? '',
});

/** As the service is asked; it refuses in words what somebody wrote into the address that is no choice. */
export const queryOf = ({
  q,
  patient,
  held,
  late,
  atRisk,
  sort,
  ...asked
}: Asked): Partial<Query> => {
  const looksFor = q !== '' || patient !== '';
  const under = asked.stage === '' && !looksFor ? 'under_way' : asked.stage;
  const stage = under === 'all' ? '' : under;
  return Object.fromEntries(
    Object.entries({
      q,
      patientId: patient,
      stage,
      held,
      late,
      atRisk,
      sort: sort === '' ? 'pressing' : sort,
    }).filter(([, value]) => value !== ''),
  );
};
