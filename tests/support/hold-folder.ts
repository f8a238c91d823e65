/** A process that takes a data folder's lock, says so, and keeps it until it is killed. */
import { lockFolder, type LockKind } from '../../src/store/folderLock.ts';

const [folder, kind] = process.argv.slice(2);
if (folder === undefined || kind === undefined) throw new Error('hold-folder.ts <folder> <kind>');
await lockFolder(folder, kind as LockKind);
process.stdout.write('held\n');
setInterval(() => undefined, 1_000);
