/** The shop tools: dummies, tooling plates, torque tools with the day their calibration is due. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { TORQUE_TOOL_CLASSES } from '../../domain/words.ts';
import { answered, api, type Schemas } from '../api.ts';
import { once } from '../parts/act.ts';
import { HelpHeading } from '../parts/help.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';
import { toolPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { useBins } from './Bins.tsx';
import { NewRecord } from './NewRecord.tsx';
import { More, usePages } from './pagedList.tsx';
import type { Sections } from './Section.tsx';
import type { Typed, Wire } from './values.ts';

type Tool = Schemas['ShopTool'];

export function Tools() {
  const { admin } = words.value;
  const { tools: say } = admin;
  const [said, setSaid] = useState('');
  const { bins } = useBins();
  const tools = usePages(['shop-tools'], (query) =>
    api.GET('/api/v1/shop-tools', { params: { query } }),
  );
  const binsOf = (bins ?? []).map(({ id, name }) => [id, name] as const);
  return (
    <AdminSheet title={admin.entries.tools.title} said={said}>
      <WentWrong failure={tools.error} retry={() => void tools.refetch()} />
      {tools.isPending ? <Loading /> : <Table tools={tools.lines} />}
      <More of={tools} />
      <HelpHeading title={say.enter} text={say.enterHelp} />
      <NewRecord
        name="tool"
        sectionsOf={(typed) => toolSections(typed, binsOf)}
        act={say.enter}
        add={(values, key) =>
          answered(
            api.POST('/api/v1/shop-tools', {
              params: { header: once(key) },
              body: withoutEmpty(values) as Schemas['ShopToolToAddInput'],
            }),
          )
        }
        onDone={({ name }) => setSaid(say.entered(name))}
      />
    </AdminSheet>
  );
}

/** What may be left out is left out. */
export const withoutEmpty = (values: Record<string, Wire>): object =>
  Object.fromEntries(Object.entries(values).filter(([, value]) => value !== null));

function toolSections(
  typed: Typed,
  bins: readonly (readonly [id: string, name: string])[],
): Sections {
  const { tools: say } = words.value.admin;
  const { fields, help } = say;
  const torque = typed['kind'] === 'torque_tool';
  return [
    {
      fields: [
        { key: 'kind', kind: 'choice', label: fields.kind, of: Object.entries(say.kinds) },
        { key: 'name', kind: 'text', label: fields.name, help: help.name },
        { key: 'serial', kind: 'text', label: fields.serial, nullable: true },
        ...(torque
          ? ([
              {
                key: 'toolType',
                kind: 'choice',
                label: fields.toolType,
                help: help.toolType,
                of: Object.entries(say.types),
              },
              {
                key: 'toolClass',
                kind: 'choice',
                label: fields.toolClass,
                help: help.toolClass,
                of: TORQUE_TOOL_CLASSES.map((each) => [each, each] as const),
              },
              { key: 'minNm', kind: 'number', label: fields.minNm, help: help.range },
              { key: 'maxNm', kind: 'number', label: fields.maxNm },
            ] as const)
          : ([
              { key: 'holePattern', kind: 'text', label: fields.holePattern, nullable: true },
            ] as const)),
        {
          key: 'toPlaceId',
          kind: 'choice',
          label: fields.toPlaceId,
          help: help.toPlaceId,
          of: bins,
        },
      ],
    },
  ];
}

function Table({ tools }: { readonly tools: readonly Tool[] }) {
  const { tools: say, none } = words.value.admin;
  if (tools.length === 0) return <p>{none}</p>;
  return (
    <table class="stacked record-list">
      <thead>
        <tr>
          <th>{say.fields.name}</th>
          <th>{say.fields.kind}</th>
          <th>{say.place}</th>
          <th>{say.due}</th>
        </tr>
      </thead>
      <tbody>
        {tools.map((tool) => (
          <tr key={tool.id} class={tool.calibrationToday?.proves === false ? 'against' : ''}>
            <td>
              <Link class="touch" href={toolPage(tool.id)}>
                <strong>{tool.name}</strong>
              </Link>
              {tool.outOfService && <div>{say.outOfService}</div>}
            </td>
            <td data-label={say.fields.kind}>{say.kinds[tool.kind]}</td>
            <td data-label={say.place}>{tool.place?.name ?? '–'}</td>
            <td data-label={say.due}>{dueWords(tool)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function dueWords(tool: Tool): string {
  const { tools: say } = words.value.admin;
  if (tool.kind !== 'torque_tool') return '–';
  return tool.calibrationDueOn === null ? say.neverCalibrated : dayWords(tool.calibrationDueOn);
}
