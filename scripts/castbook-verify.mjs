#!/usr/bin/env node
/**
 * `npx castbook-verify export.ndjson --key key.pem`: scripts/verify-export.ts, whose head says what
 * it does, from wherever this package is. TypeScript is read as it is, without a build.
 */
import process from 'node:process';
import { register } from 'tsx/esm/api';

register();
const { main } = await import('./verify-export.ts');
process.exitCode = await main(process.argv.slice(2), (text) => process.stdout.write(`${text}\n`));
