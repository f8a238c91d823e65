/**
 * Readings of one joint, one turn of the tool after the other. Which band is accepted
 * follows from the tool in hand and the setting (R4), and is told before anything is kept.
 */
import { useRef } from 'preact/hooks';
import type { TorqueReading } from '../../domain/torque.ts';
import { TORQUE_UNIT_SYMBOLS } from '../../domain/torqueUnits.ts';
import type { TorqueUnit } from '../../domain/words.ts';
import type { Schemas } from '../api.ts';
import { act, ownMoveKeys } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { units } from '../words/units.ts';
import { words } from '../words/words.ts';
import { BatchField } from './BatchField.tsx';
import { useDraft } from './draft.ts';
import { inFigures } from './figures.ts';
import { NextTurn } from './NextTurn.tsx';
import { place } from './place.ts';
import { LAST_PASS, readingAt, standing, turnsOf, type Turn } from './readings.ts';
import { ReadingsTable } from './ReadingsTable.tsx';
import type { Joint, Socket } from './record.ts';
import { SelectField } from '../parts/selectField.tsx';
import { ScanFor } from './scan/ScanFor.tsx';
import { againstTool, bandWith } from './toolInHand.ts';

interface Typed {
  /** Empty until it is chosen. */
  readonly toolId: string;
  readonly threadlockerBatchId: string;
  readonly unit: TorqueUnit;
  readonly readings: readonly TorqueReading[];
  /** The turn that is typed again; else the first without a reading. */
  readonly again?: Turn;
}

export function TorqueForm({
  socket,
  joint,
  setting,
  tools,
}: {
  readonly socket: Socket;
  readonly joint: Joint;
  readonly setting: NonNullable<Joint['setting']>;
  readonly tools: readonly Schemas['ShopTool'][];
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const top = useRef<HTMLDivElement>(null);
  const draftName = `torque.${socket.id}.${joint.items.map(({ label }) => label).join()}`;
  const { typed, change, done } = useDraft<Typed>(draftName, {
    toolId: '',
    threadlockerBatchId: '',
    unit: units.value.torque,
    readings: [],
  });
  const tool = tools.find(({ id }) => id === typed.toolId);
  const against = tool === undefined ? [] : againstTool(tool, setting);
  const judged = tool === undefined ? undefined : bandWith(tool, setting);
  const band = judged?.ok === true ? judged.value.acceptedBandNm : undefined;
  const turns = turnsOf(joint.tighteningOrder);
  const next = typed.again ?? turns.find((turn) => readingAt(typed.readings, turn) === undefined);
  const outside =
    band === undefined
      ? []
      : typed.readings.filter((reading) => standing(reading, band) !== 'fits');

  // Once all is in hand, the turns have the page.
  const ready =
    band !== undefined &&
    against.length === 0 &&
    (setting.threadlocker === 'none' || typed.threadlockerBatchId !== '');

  const take = (turn: Turn, value: number): void => {
    const { again: _again, ...rest } = typed;
    const others = typed.readings.filter((each) => each !== readingAt(typed.readings, turn));
    change({ ...rest, readings: [...others, { ...turn, value, unit: typed.unit }] });
  };
  return (
    <div ref={top}>
      <details open={!ready}>
        <summary>
          {say.toolTaken}: {tool?.name ?? say.choose}
        </summary>
        <SelectField
          label={say.tool}
          of={[['', say.choose], ...tools.map(({ id, name }) => [id, name] as const)]}
          value={typed.toolId}
          onChoose={(toolId) => change({ ...typed, toolId })}
        />
        <ScanFor
          what={say.tool}
          among={tools.map(({ id, name, serial }) => ({ id, codes: [serial, name] }))}
          onFound={(toolId) => change({ ...typed, toolId })}
        />
        {setting.threadlocker === 'required' && (
          <BatchField
            label={say.threadlocker}
            kind="threadlocker"
            value={typed.threadlockerBatchId}
            onChoose={(id) => change({ ...typed, threadlockerBatchId: id })}
          />
        )}
      </details>
      {against.length > 0 && (
        <div class="problem" role="alert">
          <strong>{say.toolUnfit}</strong>
          <ul>
            {against.map((detail) => (
              <li key={detail}>{detail}</li>
            ))}
          </ul>
        </div>
      )}
      <Choices
        label={say.unit}
        name="unit"
        of={TORQUE_UNIT_SYMBOLS}
        value={typed.unit}
        onChoose={(unit) => change({ ...typed, unit })}
      />
      {next !== undefined && band !== undefined && ready && (
        <NextTurn
          key={`${String(next.pass)}.${String(next.fastener)}`}
          turn={next}
          socket={socket}
          setting={setting}
          band={band}
          unit={typed.unit}
          readings={typed.readings}
          onRead={(value) => take(next, value)}
        />
      )}
      {typed.readings.length > 0 && (
        <ReadingsTable
          order={joint.tighteningOrder}
          readings={typed.readings}
          band={band}
          unit={typed.unit}
          onAgain={(again) => {
            change({ ...typed, again });
            top.current?.scrollIntoView();
          }}
        />
      )}
      {next === undefined && (
        <ActForm
          act={outside.length === 0 ? say.torqueAct : say.torqueActOutside}
          send={async (key) => {
            const outcome = await act(key, {
              path: '/api/v1/sockets/{socketId}/joints/{jointKind}/confirmations',
              params: { socketId: socket.id, jointKind: joint.kind },
              body: (recordedAt) => ({
                toolId: typed.toolId,
                ...(typed.threadlockerBatchId === ''
                  ? {}
                  : { threadlockerBatchId: typed.threadlockerBatchId }),
                readings: [...typed.readings],
                recordedAt,
                basedOn: { moveIds: joint.movesSoFar, keys: ownMoveKeys() },
              }),
              said: `${say.torqueOf} ${say.joints[joint.kind]}`,
              about: socket.number,
              told: [
                [say.tool, tool?.name ?? ''],
                ...typed.readings
                  .filter(({ pass }) => pass === LAST_PASS)
                  .map(
                    ({ fastener, value, unit }) =>
                      [
                        `${say.screw} ${String(fastener)}`,
                        `${inFigures(value)} ${TORQUE_UNIT_SYMBOLS[unit]}`,
                      ] as const,
                  ),
              ],
              subject: `torque:${socket.id}:${joint.kind}`,
              socketId: socket.id,
              page: place.joint(socket.id, joint.kind),
              draft: { name: draftName, typed, afresh: { ...typed, readings: [] } },
            });
            done();
            if (outcome.kind === 'done') await readAgain();
          }}
        >
          {() =>
            outside.length > 0 && (
              <div class="problem" role="alert">
                <strong>{say.willNotConfirm}</strong> {say.wholeJointAgain}
              </div>
            )
          }
        </ActForm>
      )}
    </div>
  );
}
