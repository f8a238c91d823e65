/**
 * Which strings of the domain Stryker leaves alone: sentences. A string with a
 * space in it is read by a person; tests/domain/reasons.test.ts and readers judge
 * it, and a test that repeats the sentence would only say it twice. Codes, kinds,
 * units, pointers and closed lists have no space, and are mutated.
 */
const isSentence = ({ node }) =>
  (node.type === 'StringLiteral' && node.value.includes(' ')) ||
  (node.type === 'TemplateLiteral' && node.quasis.some(({ value }) => value.raw.includes(' ')));

export const strykerPlugins = [
  {
    kind: 'Ignore',
    name: 'wording',
    value: { shouldIgnore: (path) => (isSentence(path) ? 'A sentence for people.' : undefined) },
  },
];
