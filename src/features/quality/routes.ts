import { svgOf } from '../../documents/figures/svg.ts';
import type { Api } from '../../http/api.ts';
import { ChartQuery, QualityQuery, QualityView } from './schemas.ts';
import { qualityOf, sharesChart, turnaroundChart } from './service.ts';

const SVG = 'image/svg+xml; charset=utf-8';

export function qualityRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/quality',
      name: 'readQuality',
      tag: 'Quality',
      summary:
        'First fits, check sockets, promises kept, turnaround, causes: with counts and intervals',
      description:
        'Orders count by their first delivery. Times are working days of the clinic’s calendar, time on hold included. Every share has its counts and its 95 % Wilson interval.',
      query: QualityQuery,
      answer: QualityView,
    },
    (act, { query }) => qualityOf(act, query),
  );
  api.document(
    {
      url: '/api/v1/quality/turnaround.svg',
      name: 'drawTurnaround',
      tag: 'Quality',
      summary: 'Control chart of turnaround (individuals chart, mean ± 3·MR̄/1.128)',
      description:
        'NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2. Of more than 200 orders the last 200 are drawn, and the drawing says so.',
      query: ChartQuery,
      contentType: SVG,
    },
    (act, { query }) => turnaroundChart(act, query),
    (figure, { query }) => ({
      bytes: svgOf(figure),
      fileName: `turnaround-${query.from}-${query.to}.svg`,
    }),
  );
  api.document(
    {
      url: '/api/v1/quality/shares.svg',
      name: 'drawShares',
      tag: 'Quality',
      summary: 'First fits and promises kept by month, with counts and intervals',
      query: ChartQuery,
      contentType: SVG,
    },
    (act, { query }) => sharesChart(act, query),
    (figure, { query }) => ({
      bytes: svgOf(figure),
      fileName: `shares-${query.from}-${query.to}.svg`,
    }),
  );
}
