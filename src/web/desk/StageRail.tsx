/** The present stage in words, and the rail with the day that each stage was last come to. */
import { useInstantWords, useShortDayWords } from '../parts/instants.ts';
import { Rail } from '../parts/rail.tsx';
import { words } from '../words/words.ts';
import type { Order } from './order.ts';

const cameTo = ({ stages }: Order, asked: string) => stages.filter(({ stage }) => stage === asked);

export function StageNow({ order }: { readonly order: Order }) {
  const { desk: say, stages } = words.value;
  const instantWords = useInstantWords();
  const last = cameTo(order, order.stage).at(-1);
  return (
    <p class="stage-now">
      {say.stageNow} <strong>{stages[order.stage]}</strong>
      {last !== undefined && ` ${say.since} ${instantWords(last.since)}`}
    </p>
  );
}

export function StageRail({ order }: { readonly order: Order }) {
  const { desk: say } = words.value;
  const dayOf = useShortDayWords();
  return (
    <Rail
      stage={order.stage}
      under={(asked) => {
        const times = cameTo(order, asked);
        const last = times.at(-1);
        return (
          <>
            {last !== undefined && dayOf(last.since)}
            {times.length > 1 && ` (${say.again(times.length)})`}
          </>
        );
      }}
    />
  );
}
