/** A torque tool's certificates of calibration, the newest first, and entering another. */
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { tracePage } from '../links.ts';
import { dayWords, words } from '../words/words.ts';
import { Link } from 'wouter-preact';
import { NewRecord } from './NewRecord.tsx';
import { withoutEmpty } from './Tools.tsx';
import type { FieldSpec } from './values.ts';

type Tool = Schemas['ShopTool'];

const certificateFields = (): readonly FieldSpec[] => {
  const { fields, help } = words.value.admin.tools.calibration;
  return [
    { key: 'calibratedOn', kind: 'day', label: fields.calibratedOn },
    { key: 'certificate', kind: 'text', label: fields.certificate, help: help.certificate },
    { key: 'laboratory', kind: 'text', label: fields.laboratory, help: help.laboratory },
    {
      key: 'validUntil',
      kind: 'day',
      label: fields.validUntil,
      help: help.validUntil,
      nullable: true,
    },
    {
      key: 'deviationPercent',
      kind: 'number',
      label: fields.deviationPercent,
      help: help.deviationPercent,
      nullable: true,
    },
    {
      key: 'deviationAfterPercent',
      kind: 'number',
      label: fields.deviationAfterPercent,
      help: help.deviationAfterPercent,
      nullable: true,
    },
  ];
};

export function Calibrations({
  tool,
  onSaid,
}: {
  readonly tool: Tool;
  readonly onSaid: (said: string) => void;
}) {
  const { calibration: say } = words.value.admin.tools;
  return (
    <section>
      <HelpHeading title={say.title} text={say.titleHelp} />
      {tool.calibrations.length === 0 && <p class="caution">{say.none}</p>}
      <ul class="lines">
        {tool.calibrations.map((each) => (
          <li key={each.id}>
            <strong>{dayWords(each.calibratedOn)}</strong>:{' '}
            {say.by(each.certificate, each.laboratory)}
            {each.deviationPercent !== null && <div>{say.found(each.deviationPercent)}</div>}
            {each.deviationAfterPercent !== null && (
              <div>{say.left(each.deviationAfterPercent)}</div>
            )}
            {each.inDoubt !== null && (
              <div class="stands-against">
                {say.inDoubt(each.inDoubt.confirmations)}{' '}
                <Link class="touch" href={tracePage('tool', tool.name)}>
                  {say.whichOnes}
                </Link>
              </div>
            )}
          </li>
        ))}
      </ul>
      <details>
        <summary>{say.enter}</summary>
        <NewRecord
          name={`calibration ${tool.id}`}
          sectionsOf={() => [{ fields: certificateFields() }]}
          act={say.enter}
          add={(values, key) =>
            answered(
              api.POST('/api/v1/shop-tools/{toolId}/calibrations', {
                params: { path: { toolId: tool.id }, header: once(key) },
                body: withoutEmpty(values) as Schemas['CalibrationToAddInput'],
              }),
            )
          }
          onDone={() => onSaid(say.entered)}
        />
      </details>
    </section>
  );
}
