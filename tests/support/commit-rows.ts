/** A process that commits rows one by one to an embedded database, and names each once it is acknowledged. */
import { openEmbedded } from '../../src/store/embedded.ts';

const [folder, count] = process.argv.slice(2);
if (folder === undefined || count === undefined) throw new Error('commit-rows.ts <folder> <count>');
const database = await openEmbedded(folder);
await database.raw('create table kept (n int primary key)');
for (let n = 1; n <= Number(count); n += 1) {
  await database.raw('insert into kept values ($1)', [n]);
  process.stdout.write(`row ${n}\n`);
}
await database.close();
