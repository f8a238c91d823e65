import fs from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Whether this module is the script that was started, not one that was imported. */
export function isMain(meta: ImportMeta): boolean {
  const started = process.argv[1];
  return started !== undefined && fs.realpathSync(started) === fileURLToPath(meta.url);
}
