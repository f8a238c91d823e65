/** One shop tool: whether it proves today, its certificates, in and out of service. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { HelpHeading } from '../parts/help.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { listPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { Calibrations } from './Calibrations.tsx';
import { RecordHistory } from './RecordHistory.tsx';
import { dueWords } from './Tools.tsx';

type Tool = Schemas['ShopTool'];

export function ToolPage({ params: { toolId } }: { params: { toolId: string } }) {
  const { admin } = words.value;
  const { tools: say } = admin;
  const [said, setSaid] = useState('');
  const { data, error, refetch } = useQuery({
    queryKey: ['shop-tools', toolId],
    queryFn: () =>
      answered(api.GET('/api/v1/shop-tools/{toolId}', { params: { path: { toolId } } })),
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  const today = data.calibrationToday;
  return (
    <AdminSheet title={data.name} back={[listPage('tools'), admin.entries.tools.title]} said={said}>
      <Facts of={factsOf(data)} />
      {today !== null && (
        <div class={today.proves ? 'caution' : 'problem'}>
          <strong>{today.proves ? say.proves(today.usesLeft) : say.provesNot}</strong>
          {today.because.map(({ code, detail, wayOut }) => (
            <p key={code}>
              {detail} {wayOut}
            </p>
          ))}
        </div>
      )}
      {data.kind === 'torque_tool' && <Calibrations tool={data} onSaid={setSaid} />}
      <Service tool={data} onSaid={setSaid} />
      <RecordHistory of={{ subjectKind: 'shop_tool', subjectId: data.id, version: data.version }} />
    </AdminSheet>
  );
}

function factsOf(tool: Tool): (readonly [string, string | null])[] {
  const { tools: say } = words.value.admin;
  const { fields } = say;
  const { minNm, maxNm, permissibleDeviationPercent: percent } = tool;
  return [
    [fields.kind, say.kinds[tool.kind]],
    [fields.serial, tool.serial],
    [fields.holePattern, tool.holePattern],
    [fields.toolType, tool.toolType === null ? null : say.types[tool.toolType]],
    [fields.toolClass, tool.toolClass],
    [say.range, minNm === null || maxNm === null ? null : say.rangeWords(minNm, maxNm)],
    [say.permissible, percent === null ? null : `± ${percent} %`],
    [say.place, tool.place?.name ?? null],
    [say.due, tool.kind === 'torque_tool' ? dueWords(tool) : null],
    [say.service, tool.outOfService ? say.outOfService : say.inService],
  ];
}

function Service({
  tool,
  onSaid,
}: {
  readonly tool: Tool;
  readonly onSaid: (said: string) => void;
}) {
  const { tools: say } = words.value.admin;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  const { outOfService } = tool;
  const title = outOfService ? say.putBack : say.takeOut;
  const send = async (key: string): Promise<void> => {
    const params = { path: { toolId: tool.id }, header: once(key) };
    // Left out where nothing is typed: the service says that it is missing.
    const body = (why.trim() === '' ? {} : { why }) as Schemas['ServiceWhyInput'];
    await answered(
      outOfService
        ? api.POST('/api/v1/shop-tools/{toolId}/back-in-service', { params, body })
        : api.POST('/api/v1/shop-tools/{toolId}/out-of-service', { params, body }),
    );
    setWhy('');
    await readAgain();
    onSaid(outOfService ? say.isBack(tool.name) : say.isOut(tool.name));
  };
  return (
    <section>
      <HelpHeading title={title} text={outOfService ? say.putBackHelp : say.takeOutHelp} />
      <ActForm act={title} send={send}>
        {({ against }) => (
          <NoteField label={say.why} value={why} against={against('/why')} onType={setWhy} />
        )}
      </ActForm>
    </section>
  );
}
