// Use: node --import tsx scripts/ci/secrets.ts   Looks for secrets in every file that git keeps. Prints where,
// never what; exits 1 where there is one.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { isMain } from '../isMain.ts';

/** How keys look. Forms from their makers' documentation, from memory. */
const FORMS = {
  'a private key': /-----BEGIN (?:[A-Z]+ )?PRIVATE KEY(?: BLOCK)?-----\s*\n[A-Za-z0-9+/=]{20}/,
  'a JSON Web Token': /\beyJ[\w-]{15,}\.eyJ[\w-]{15,}\.[\w-]{20,}/,
  'a key of a cloud': /\b(?:AKIA|ASIA)[A-Z0-9]{16}\b|\bAIza[\w-]{35}\b/,
  'a token of a code host': /\b(?:gh[pousr]_[A-Za-z0-9]{36}|github_pat_\w{60,}|glpat-[\w-]{20})\b/,
  'a token of a registry': /\bnpm_[A-Za-z0-9]{36}\b|_authToken\s*=\s*\S/,
  'a hash of a password':
    /\$argon2id\$v=\d+\$m=\d+,t=\d+,p=\d+\$[A-Za-z0-9+/]{16,}\$[A-Za-z0-9+/]{32,}/,
  'a sign-in in an address':
    /\b(?:postgres(?:ql)?|https?|amqps?|redis):\/\/[^\s:@/'"`$]+:[^\s:@/'"`${]{8,}@/,
  'a setting with its secret':
    /\b(?:JWT_SECRET|[A-Z_]*PASSWORD|[A-Z_]*(?:SECRET|TOKEN|API_KEY))\s*[=:]\s*['"]?[A-Za-z0-9+/=_-]{24,}['"]?\s*$/m,
};

/** @returns names of the forms that a text holds */
export const secretsIn = (text: string): string[] =>
  Object.entries(FORMS)
    .filter(([, form]) => form.test(text))
    .map(([what]) => what);

if (isMain(import.meta)) {
  const files = execFileSync('git', ['ls-files', '-z'], { encoding: 'utf8' })
    .split('\0')
    .filter(Boolean);
  let found = files
    .filter((file) => /(^|\/)\.env(\.|$)/.test(file))
    .map((file) => `${file}: settings of a machine`);
  for (const file of files) {
    const bytes = readFileSync(file);
    if (bytes.includes(0)) continue;
    found = found.concat(secretsIn(bytes.toString('utf8')).map((what) => `${file}: ${what}`));
  }
  for (const each of found) say(each);
  say(`${files.length} files looked at, ${found.length} with a secret`);
  process.exitCode = found.length > 0 ? 1 : 0;
}

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}
