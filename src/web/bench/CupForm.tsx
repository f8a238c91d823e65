/**
 * One cup on the scale: what it is to hold, what was weighed, and while it is typed how
 * far the mix is off its ratio. "Mixed now" starts its clock.
 */
import { judgeWeighing } from '../../domain/weighing.ts';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { said } from '../words/said.ts';
import { words } from '../words/words.ts';
import { BatchField } from './BatchField.tsx';
import { serviceNowMs, watchResin } from './clock.ts';
import { useDraft } from './draft.ts';
import { figureTyped, inFigures } from './figures.ts';
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
  readAtMs,
  recipe,
  pour,
}: {
  readonly socketId: string;
  readonly resin: Resin;
  /** When `resin` came. */
  readonly readAtMs: number;
  readonly recipe: NonNullable<Resin['recipe']>;
  readonly pour: number;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const before = resin.cups[pour - 1]?.readings.at(-1);
  const { typed, change, done } = useDraft<Typed>(
    `cup.${recipe.id}.${String(pour)}.${String(before?.attempt ?? 0)}`,
    {
      weighed: {},
      // Cup after cup is filled from the same cans.
      batches: batchesOfCupBefore(resin, pour),
      minutesAgo: '0',
      // What has set or was poured is past putting right.
      putsRight: before !== undefined && !PAST.includes(resin.cups[pour - 1]?.state ?? 'good'),
    },
  );
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
  const now = (): number => serviceNowMs(resin.asOf, readAtMs, Date.now());
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
          await answered(
            api.POST('/api/v1/sockets/{socketId}/resin-weighings', {
              params: { path: { socketId }, header: once(key) },
              // What is not typed is left out, and the service says which figure it wants.
              body: {
                pour,
                resinG,
                hardenerG,
                pigmentG,
                ...batchesNamed(asked, typed),
                putsRight: typed.putsRight,
                ...(typed.putsRight || minutesAgo <= 0
                  ? {}
                  : { mixedAt: new Date(now() - minutesAgo * 60_000).toISOString() }),
              } as never,
            }),
          );
          watchResin(socketId);
          done();
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
