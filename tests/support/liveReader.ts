/** A reader of live updates over a socket of its own; the messages are parsed by a library that knows nothing of ours. */
import http from 'node:http';
import { createParser, type EventSourceMessage } from 'eventsource-parser';

export interface Message {
  readonly event: string;
  readonly id: string | undefined;
  readonly data: Readonly<Record<string, unknown>>;
}

export interface LiveReader {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  /** What a refusal says. */
  readonly refusal: () => Promise<{ code: string }>;
  /** The next message that fits, among those not yet given; waits for it. */
  next(fits: (message: Message) => boolean): Promise<Message>;
  readonly messages: readonly Message[];
  readonly comments: readonly string[];
  /** Resolves when the service has ended the stream or cut it. */
  readonly ended: Promise<'ended' | 'cut'>;
  /** Reads no more, and leaves what comes on the way. */
  pause(): void;
  leave(): void;
}

export const of = (event: string) => (message: Message) => message.event === event;

/** @param token shown as bearer @param lastEventId what was heard last, where there is something */
export function readLive(
  address: string,
  token: string,
  lastEventId?: string,
): Promise<LiveReader> {
  return new Promise((resolve, reject) => {
    const headers = {
      authorization: `Bearer ${token}`,
      ...(lastEventId === undefined ? {} : { 'last-event-id': lastEventId }),
    };
    const request = http.get(`${address}/api/v1/changes`, { headers, agent: false });
    request.once('error', reject);
    request.once('response', (response) => {
      request.off('error', reject).on('error', () => undefined);
      resolve(readerOf(request, response));
    });
  });
}

function readerOf(request: http.ClientRequest, response: http.IncomingMessage): LiveReader {
  const messages: Message[] = [];
  const comments: string[] = [];
  const looks = new Set<() => void>();
  let given = 0;
  let text = '';
  let over = false;
  const parser = createParser({
    onEvent: ({ event, id, data }: EventSourceMessage) => {
      messages.push({ event: event ?? '', id, data: JSON.parse(data) as Message['data'] });
    },
    onComment: (comment) => void comments.push(comment),
  });
  response.setEncoding('utf8');
  response.on('data', (chunk: string) => {
    text += chunk;
    parser.feed(chunk);
    for (const look of looks) look();
  });
  const ended = new Promise<'ended' | 'cut'>((resolve) => {
    response.once('end', () => resolve('ended'));
    response.once('error', () => resolve('cut'));
    response.once('close', () => resolve('cut'));
  });
  void ended.then(() => {
    over = true;
    for (const look of looks) look();
  });
  return {
    status: response.statusCode ?? 0,
    headers: response.headers,
    refusal: () => ended.then(() => JSON.parse(text) as { code: string }),
    next: (fits) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const at = messages.findIndex((message, index) => index >= given && fits(message));
          if (at >= 0) {
            given = at + 1;
            looks.delete(look);
            resolve(messages[at]!);
          } else if (over) {
            looks.delete(look);
            reject(new Error(`ended without it: ${JSON.stringify(messages)}`));
          }
        };
        looks.add(look);
        look();
      }),
    messages,
    comments,
    ended,
    pause: () => {
      response.pause();
    },
    leave: () => {
      request.destroy();
    },
  };
}
