import { benchLoadFigure } from '../../documents/figures/benchLoad.ts';
import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { BenchLoadQuery, BenchLoadView } from './schemas.ts';
import { readBenchLoad } from './service.ts';

const tag = 'Dates and benches';

export function benchLoadRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/bench-load',
      name: 'readBenchLoad',
      tag,
      summary: 'Planned minutes of each bench by day, against who is there',
      description:
        'Operations that wait, of sockets in work. Each stage’s work lies between the end of the stage before, or today, and its own end: early enough for the promised day, the stages after it taking their usual working days; without a promise, as is usual.',
      query: BenchLoadQuery,
      answer: BenchLoadView,
    },
    (act, { query }) => readBenchLoad(act, query),
  );
  api.document(
    {
      url: '/api/v1/bench-load.svg',
      name: 'drawBenchLoad',
      tag,
      summary: 'The same, drawn',
      description:
        'A row for each bench, a bar for each working day: the minutes of waiting operations against all minutes for which the bench is manned (dashed, 100 %). Bars end at 200 %; an overloaded day is black and says its per cent, "nobody" where nobody is there. The title and the description in the drawing say the same in words. What is on hold or not planned is in no bar.',
      query: BenchLoadQuery,
      contentType: 'image/svg+xml; charset=utf-8',
    },
    (act, { query }) => readBenchLoad(act, query),
    (load) => ({
      bytes: svgOf(benchLoadFigure(load)),
      fileName: `bench-load-${load.from}-${load.to}.svg`,
    }),
  );
}
