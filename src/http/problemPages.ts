/** The catalogue of refusals as pages: what each `type` of a problem leads to. */
import { z } from 'zod';
import {
  REASONS,
  reason,
  type Fact,
  type Facts,
  type ReasonCode,
} from '../domain/reasons/index.ts';
import { SI } from '../domain/reasons/measures.ts';
import type { ReasonEntry } from '../domain/reasons/reason.ts';
import { Refused } from '../store/refused.ts';
import type { Api } from './api.ts';
import { escapeHtml, htmlPage } from './page.ts';
import { PROBLEMS_URL, statusOf } from './problems.ts';

const ProblemKind = z
  .object({
    type: z.string(),
    code: z.string(),
    status: z.int(),
    rule: z.string().nullable(),
    title: z.string(),
    example: z.string().describe('What it says, with names in the places of the facts.'),
    wayOut: z.string(),
  })
  .meta({ id: 'ProblemKind' });
type ProblemKind = z.infer<typeof ProblemKind>;

const ProblemKinds = z.object({ problems: z.array(ProblemKind) }).meta({ id: 'ProblemKinds' });

export function problemRoutes(api: Api): void {
  api.open(
    {
      method: 'GET',
      url: PROBLEMS_URL,
      name: 'listProblems',
      tag: 'Service',
      summary: 'Every refusal that there is',
      description: 'JSON, or a page where the Accept header prefers HTML.',
      answer: ProblemKinds,
      page: ({ problems }) => htmlPage('Refusals', indexOf(problems)),
    },
    () => ({ problems: codes().map(kindOf) }),
  );
  api.open(
    {
      method: 'GET',
      url: `${PROBLEMS_URL}/:code`,
      name: 'explainProblem',
      tag: 'Service',
      summary: 'One refusal explained',
      description: 'The `type` of a problem leads here. JSON, or a page where Accept prefers HTML.',
      params: z.strictObject({ code: z.string().min(1).max(100) }),
      answer: ProblemKind,
      page: (problem) => htmlPage(problem.title, explanationOf(problem)),
    },
    ({ params }) => {
      const code = codes().find((each) => each === params.code);
      if (code === undefined) throw new Refused([reason('problem-unknown', {})]);
      return kindOf(code);
    },
  );
}

const codes = (): ReasonCode[] => (Object.keys(REASONS) as ReasonCode[]).sort();

function kindOf(code: ReasonCode): ProblemKind {
  const entry = REASONS[code] as unknown as ReasonEntry<Facts>;
  const { rule, title, kind } = entry;
  return {
    type: `${PROBLEMS_URL}/${code}`,
    code,
    status: statusOf({ code, kind }),
    rule,
    title,
    example: withoutFigures(entry.words(namesAsFacts, SI)),
    wayOut: withoutFigures(entry.wayOut(namesAsFacts, SI)),
  };
}

/** Every fact by its own name, ‹place›, whatever is done to it on the way into the words. */
const namesAsFacts = new Proxy<Facts>({}, { get: (_facts, name) => placeholder(String(name)) });

function placeholder(name: string): Fact {
  const self: object = new Proxy(() => undefined, {
    get: (_target, key) =>
      key === Symbol.toPrimitive || key === 'toString' ? () => `‹${name}›` : () => self,
  });
  return self as unknown as Fact;
}

/** Where a figure would be rounded, a name is no number; where it would pick a word, there is none. */
const withoutFigures = (words: string): string => words.replaceAll(/\bNaN\b|\bundefined\b/g, '…');

const indexOf = (problems: readonly ProblemKind[]): string =>
  `<table><thead><tr><th>Status</th><th>Code</th><th>Rule</th><th>What it is</th></tr></thead><tbody>${problems
    .map(
      ({ status, code, rule, title, type }) =>
        `<tr><td>${status}</td><td><a href="${escapeHtml(type)}">${escapeHtml(code)}</a></td><td>${escapeHtml(rule ?? '')}</td><td>${escapeHtml(title)}</td></tr>`,
    )
    .join('')}</tbody></table>`;

const explanationOf = ({ status, code, rule, example, wayOut }: ProblemKind): string =>
  `<dl><dt>Code</dt><dd>${escapeHtml(code)}</dd><dt>Status</dt><dd>${status}</dd>${
    rule === null ? '' : `<dt>Rule</dt><dd>${escapeHtml(rule)}</dd>`
  }<dt>What it says</dt><dd>${escapeHtml(example)}</dd><dt>What to do</dt><dd>${escapeHtml(wayOut)}</dd></dl><p><a href="${PROBLEMS_URL}">All refusals</a></p>`;
