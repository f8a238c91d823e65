import type { Api } from '../../http/api.ts';
import { STREAM_DESCRIPTION } from './schemas.ts';
import type { ChangeStreams } from './streams.ts';

export function changeRoutes(api: Api, streams: ChangeStreams): void {
  api.stream(
    {
      url: '/api/v1/changes',
      name: 'followChanges',
      tag: 'Changes',
      summary: 'What changes, as it changes',
      description: STREAM_DESCRIPTION,
      contentTypes: ['text/event-stream; charset=utf-8'],
    },
    async ({ caller, lastEventId }) => ({
      contentType: 'text/event-stream; charset=utf-8',
      body: await streams.open(caller, lastEventId),
    }),
  );
}
