/** What is given to a script on its command line, judged by a schema. */
import { parseArgs } from 'node:util';
import type { z } from 'zod';

/** What whoever runs a script did not give, or gave wrongly, in words for them. */
export class UsageProblem extends Error {
  override readonly name = 'UsageProblem';
}

/**
 * @param schema each option by its name on the command line, each with one value
 * @throws UsageProblem that names each option that cannot be used
 */
export function readOptions<Shape extends z.ZodRawShape>(
  schema: z.ZodObject<Shape>,
  args: readonly string[],
): z.output<z.ZodObject<Shape>> {
  const options = Object.fromEntries(
    Object.keys(schema.shape).map((option) => [option, { type: 'string' as const }]),
  );
  const { values } = parseArgs({ args: [...args], options });
  const read = schema.safeParse(values);
  if (read.success) return read.data;
  const faults = read.error.issues.map((issue) => `  --${issue.path.join('.')}: ${issue.message}`);
  throw new UsageProblem(`These arguments cannot be used:\n${faults.join('\n')}`);
}
