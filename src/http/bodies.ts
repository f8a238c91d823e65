/** Bodies are JSON in UTF-8, and nothing else. */
import type { FastifyInstance } from 'fastify';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';

const malformed = () => new Refused([reason('body-malformed', {})]);

/** A NUL, which PostgreSQL does not keep; the backslash before the u is not itself escaped. */
const NUL = /(?<!\\)(?:\\\\)*\\u0000/;

export function readJsonOnly(app: FastifyInstance): void {
  const utf8 = new TextDecoder('utf-8', { fatal: true });
  const parse = app.getDefaultJsonParser('error', 'error');
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (request, body, done) => {
    try {
      const text = utf8.decode(body as Buffer);
      if (NUL.test(text)) throw malformed();
      const parsed = (failure: Error | null, value?: unknown): void => {
        // Halves of surrogate pairs come in by escapes only, and are escaped again on the way out.
        const whole = failure !== null || !/\\ud[89a-f]/i.test(text) || isWellFormed(value);
        if (whole) done(failure, value);
        else done(malformed());
      };
      // Answers by the callback; only other parsers give a promise.
      void parse(request, text, parsed);
    } catch {
      done(malformed());
    }
  });
}

/** JSON.stringify escapes what is no well-formed Unicode, and only that, as \udXXX. */
const isWellFormed = (value: unknown): boolean =>
  !/(?<!\\)(?:\\\\)*\\ud[89a-f]/.test(JSON.stringify(value));
