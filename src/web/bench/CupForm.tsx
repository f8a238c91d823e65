/**
 * One cup on the scale: what it is to hold, what was weighed, and while it is typed how
 * far the mix is off its ratio. "Mixed now" starts its clock.
 */
import { judgeWeighing } from '../../domain/weighing.ts';
import { act } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { said } from '../words/said.ts';
import { words } from '../words/words.ts';
import { BatchField } from './BatchField.tsx';
import { watchResin } from './clock.ts';
import { useDraft } from './draft.ts';
import { figureTyped, inFigures } from './figures.ts';
import { cupSubject } from './keptHere.ts';
import { place } from './place.ts';
import { RatioGauge } from './RatioGauge.tsx';
import type { Resin } from './record.ts';

const KEYS = ['resinG', 'hardenerG', 'pigmentG'] as const;
type Component = (typeof KEYS)[number];
const BATCHES = { resinG: 'resin', hardenerG: 'hardener', pigmentG: 'pigment' } as const;

const PAST: readonly Resin['cups'][number]['state'][] = ['set', 'spent'];

interface Typed {
  readonly weighed: Readonly<Partial<Record<Component, string>>>;
  readonly batches: Readonly<Partial<Record<Component, string>>>;
  readonly minutesAgo: string;
  readonly putsRight: boolean;
}

export function CupForm({
  socketId,
  resin,
  recipe,
  pour,
}: {
  readonly socketId: string;
  readonly resin: Resin;
  readonly recipe: NonNullable<Resin['recipe']>;
  readonly pour: number;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const before = resin.cups[pour - 1]?.readings.at(-1);
  const draftName = `cup.${recipe.id}.${String(pour)}.${String(before?.attempt ?? 0)}`;
  const { typed, change, done } = useDraft<Typed>(draftName, {
    weighed: {},
    // Cup after cup is filled from the same cans.
    batches: batchesOfCupBefore(resin, pour),
    minutesAgo: '0',
    // What has set or was poured is past putting right.
    putsRight: before !== undefined && !PAST.includes(resin.cups[pour - 1]?.state ?? 'good'),
  });
  const target = recipe.pours[pour - 1];
  const asked = KEYS.filter((key) => key !== 'pigmentG' || (target?.pigmentG ?? 0) > 0);
  const figure = (key: Component): number | undefined =>
    asked.includes(key) ? figureTyped(typed.weighed[key] ?? '') : 0;
  const [resinG, hardenerG, pigmentG] = KEYS.map(figure);
  const judged =
    resinG === undefined || hardenerG === undefined
      ? undefined
      : judgeWeighing(
          recipe.product,
          recipe,
          { resinG, hardenerG, pigmentG: pigmentG ?? 0 },
          recipe.asked.scaleResolutionG,
        );
  const stops = judged?.ok === true ? judged.value.stops : [];
  const minutesAgo = figureTyped(typed.minutesAgo) ?? 0;
  const stopped = resin.cups[pour - 1]?.state === 'stopped';
  if (stopped) return <p class="caution">{say.cupStopped(pour)}</p>;
  return (
    <section>
      <h2 class="operation">
        {say.cup} {pour} / {recipe.pours.length}
      </h2>
      <ActForm
        act={stops.length > 0 ? say.cupStopIt : typed.putsRight ? say.cupRight : say.mixedNow}
        send={async (key) => {
          const outcome = await act(key, {
            path: '/api/v1/sockets/{socketId}/resin-weighings',
            params: { socketId },
            // What is not typed is left out, and the service says which figure it wants.
            body: (recordedAt) =>
              ({
                pour,
                resinG,
                hardenerG,
                pigmentG,
                ...batchesNamed(asked, typed),
                putsRight: typed.putsRight,
                recordedAt,
                ...(typed.putsRight || minutesAgo <= 0
                  ? {}
                  : { mixedAt: mixedBefore(recordedAt, minutesAgo).toISOString() }),
              }) as never,
            said: `${say.cup} ${String(pour)}`,
            about: resin.socketNumber,
            told: asked.map((each) => [`${say.components[each]}, g`, typed.weighed[each] ?? '']),
            subject: cupSubject(socketId, pour),
            socketId,
            page: place.resin(socketId),
            draft: { name: draftName, typed },
            stops: stops.length > 0,
            cup: (recordedAt) =>
              setsAfter(
                typed.putsRight ? null : recipe.workTime.minutes,
                pour,
                recordedAt,
                minutesAgo,
              ),
          });
          done();
          if (outcome.kind === 'kept') return;
          watchResin(socketId);
          await readAgain();
        }}
      >
        {({ against }) => (
          <>
            {before !== undefined && (
              <Choices
                label={say.cupAgain}
                name="again"
                of={say.cupAgainHow}
                value={typed.putsRight ? 'right' : 'fresh'}
                onChoose={(how) => change({ ...typed, putsRight: how === 'right' })}
              />
            )}
            {asked.map((key) => (
              <TextField
                key={key}
                label={say.weighedOf(say.components[key], inFigures(target?.[key] ?? 0, 3))}
                inputMode="decimal"
                autocomplete="off"
                value={typed.weighed[key] ?? ''}
                against={against(`/${key}`)}
                onInput={({ currentTarget }) =>
                  change({ ...typed, weighed: { ...typed.weighed, [key]: currentTarget.value } })
                }
              />
            ))}
            <div aria-live="polite">
              {judged?.ok === true && (
                <RatioGauge
                  offPercent={judged.value.offRatioPercent}
                  tolerancePercent={recipe.product.ratioTolerancePercent}
                />
              )}
              {stops.length > 0 && (
                <div class="problem">
                  <strong>{say.willStop}</strong>
                  <ul>
                    {stops.map(said).map(({ detail, wayOut }) => (
                      <li key={detail}>
                        {detail} {wayOut}
                      </li>
                    ))}
                  </ul>
                </div>
              )}
            </div>
            {asked.map((key) => (
              <BatchField
                key={key}
                label={say.batchOf[BATCHES[key]]}
                kind={BATCHES[key]}
                ofProductId={recipe.product.id}
                value={typed.batches[key] ?? ''}
                against={against(`/${BATCHES[key]}BatchId`)}
                onChoose={(id) => change({ ...typed, batches: { ...typed.batches, [key]: id } })}
              />
            ))}
            {!typed.putsRight && (
              <TextField
                label={say.mixedAgo}
                hint={say.mixedAgoHint}
                inputMode="decimal"
                value={typed.minutesAgo}
                against={against('/mixedAt')}
                onInput={({ currentTarget }) =>
                  change({ ...typed, minutesAgo: currentTarget.value })
                }
              />
            )}
          </>
        )}
      </ActForm>
    </section>
  );
}

const mixedBefore = (recordedAt: string | Date, minutesAgo: number): Date =>
  new Date(new Date(recordedAt).getTime() - minutesAgo * 60_000);

/** When a cup sets that is kept on the phone: by the work time of its recipe, from its mixing. */
const setsAfter = (
  workMinutes: number | null,
  pour: number,
  recordedAt: Date,
  minutesAgo: number,
): { pour: number; setsAt: string } | null =>
  workMinutes === null
    ? null
    : { pour, setsAt: mixedBefore(recordedAt, minutesAgo - workMinutes).toISOString() };

const batchesNamed = (
  asked: readonly Component[],
  { batches }: Typed,
): Readonly<Record<string, string>> =>
  Object.fromEntries(
    asked.flatMap((key) => {
      const id = batches[key] ?? '';
      return id === '' ? [] : [[`${BATCHES[key]}BatchId`, id]];
    }),
  );

function batchesOfCupBefore({ cups }: Resin, pour: number): Typed['batches'] {
  const last = cups
    .slice(0, pour)
    .findLast(({ readings }) => readings.length > 0)
    ?.readings.at(-1);
  if (last === undefined) return {};
  return Object.fromEntries(
    KEYS.flatMap((key) => {
      const used = last.batches.find(({ kind }) => kind === BATCHES[key]);
      return used === undefined ? [] : [[key, used.batchId]];
    }),
  );
}
