import type { Api } from '../../http/api.ts';
import { LayupRulesToWrite, LayupRulesVersions, LayupRulesView } from './schemas.ts';
import { newLayupRules, readEveryVersion, readLayupRules } from './service.ts';

const tag = 'Layup';

export function layupRuleRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/layup-rules',
      name: 'readLayupRules',
      tag,
      summary: 'The layup rules in force, as a table and in words',
      answer: LayupRulesView,
    },
    (act) => readLayupRules(act),
  );
  api.read(
    {
      url: '/api/v1/layup-rules/versions',
      name: 'listLayupRules',
      tag,
      summary: 'Every version of the layup rules, the one in force first',
      answer: LayupRulesVersions,
    },
    (act) => readEveryVersion(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/layup-rules',
      name: 'writeLayupRules',
      tag,
      summary: 'Write the next version of the layup rules',
      description:
        'Every patient up to the top body mass has one row. Layups drafted before keep the rules that they came from.',
      body: LayupRulesToWrite,
      answer: LayupRulesView,
    },
    (act, { body }) => newLayupRules(act, body),
  );
}
