/** The resin of a definitive socket: recipe by component and cup, then the cups one after the other. */
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { openActsOf } from '../offline/acts.ts';
import { words } from '../words/words.ts';
import { useEffect } from 'preact/hooks';
import { watchResin } from './clock.ts';
import { CupForm } from './CupForm.tsx';
import { Findings } from './Findings.tsx';
import { inFigures } from './figures.ts';
import { cupSubject, keptFor } from './keptHere.ts';
import { RecipeForm } from './RecipeForm.tsx';
import { useResin, type Resin as ResinOf, type Socket } from './record.ts';
import { SocketPage } from './SocketPage.tsx';

export const Resin = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId} title={words.value.bench.resin}>
    {(socket) => <OfSocket socket={socket} />}
  </SocketPage>
);

function OfSocket({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const { data: resin, error, refetch } = useResin(socket.id);
  const running = resin?.cups.some(({ clock }) => clock !== null) === true;
  // Whoever mixed it: who looks at this page has its clock.
  useEffect(() => {
    if (running) watchResin(socket.id);
  }, [running, socket.id]);
  if (resin === undefined) {
    return error === null ? (
      <Loading />
    ) : (
      <WentWrong failure={error} retry={() => void refetch()} />
    );
  }
  const { recipe } = resin;
  // What is kept on the phone is weighed, if not yet on record.
  const acts = openActsOf(socket.id);
  const toWeigh = resin.stillToWeigh.find(
    (pour) => keptFor(acts, cupSubject(socket.id, pour)) === undefined,
  );
  return (
    <>
      {resin.lacking !== null && <p class="caution">{say.resinLacking(resin.lacking)}</p>}
      {resin.laminatedAt !== null && <p class="caution">{say.laminated}</p>}
      <Findings socket={socket} />
      {recipe !== null && toWeigh !== undefined && recipe.ofLayup && (
        <CupForm
          key={`${recipe.id}.${String(toWeigh)}`}
          socketId={socket.id}
          resin={resin}
          recipe={recipe}
          pour={toWeigh}
        />
      )}
      {recipe !== null && <Recipe resin={resin} recipe={recipe} />}
      {resin.laminatedAt === null && (recipe === null || !recipe.ofLayup || untouched(resin)) && (
        <RecipeForm key={recipe?.id ?? ''} socketId={socket.id} again={recipe !== null} />
      )}
    </>
  );
}

const untouched = ({ cups }: ResinOf): boolean =>
  cups.every(({ state }) => state === 'to_weigh' || state === 'rejected');

function Recipe({
  resin: { cups },
  recipe,
}: {
  readonly resin: ResinOf;
  readonly recipe: NonNullable<ResinOf['recipe']>;
}) {
  const { bench: say } = words.value;
  const { product, workTime } = recipe;
  const grams = (value: number): string => `${inFigures(value, 1)} g`;
  return (
    <section>
      <h2>
        {say.recipe} {recipe.running}
      </h2>
      <Facts
        of={[
          [say.product, product.name],
          [
            say.ratio,
            `${inFigures(product.partsResin)} : ${inFigures(product.partsHardener)} ± ${inFigures(product.ratioTolerancePercent)} %`,
          ],
          [say.needed, grams(recipe.neededG)],
          [
            say.workTime,
            workTime.minutes === null
              ? say.workTimeUnknown
              : `${inFigures(workTime.minutes, 0)} min`,
          ],
          [say.cupLimit, grams(product.cupLimitG)],
          [say.sheet, `${product.document}, ${product.revision}`],
        ]}
      />
      <table class="grams">
        <thead>
          <tr>
            <th>{say.cup}</th>
            <th>{say.components.resinG}, g</th>
            <th>{say.components.hardenerG}, g</th>
            <th>{say.components.pigmentG}, g</th>
          </tr>
        </thead>
        <tbody>
          {recipe.pours.map(({ pour, resinG, hardenerG, pigmentG }) => (
            <tr key={pour}>
              <td>
                {pour} {say.cupStates[cups[pour - 1]?.state ?? 'to_weigh']}
              </td>
              <td>{inFigures(resinG, 3)}</td>
              <td>{inFigures(hardenerG, 3)}</td>
              <td>{inFigures(pigmentG, 3)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {recipe.cautions.map((caution) => (
        <p key={caution} class="caution">
          {caution}
        </p>
      ))}
    </section>
  );
}
