/**
 * What is missing between the migrations and prisma/schema.prisma.
 *
 *   npx tsx scripts/schema-diff.ts            prints the SQL that a new migration needs
 *   npx tsx scripts/schema-diff.ts --check    fails where they differ
 *
 * Migrates an empty database in memory and lets Prisma's own schema engine compare it. It
 * sees tables, columns, keys and indexes; checks, triggers, policies and grants are held by
 * the catalogue snapshot (scripts/catalog-snapshot.ts).
 */
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import type { SchemaEngine } from '@prisma/schema-engine-wasm/schema_engine_bg';
import { openEmbeddedInMemory } from '../src/store/embedded.ts';
import { migrate, MIGRATIONS_FOLDER } from '../src/store/migrate.ts';
import { isMain } from './isMain.ts';

export const SCHEMA_FILE = path.resolve(import.meta.dirname, '../prisma/schema.prisma');

/**
 * @param schema text of a Prisma schema.
 * @returns the SQL that would bring a migrated database to `schema`; undefined where they agree.
 */
export async function schemaDiff(
  schema: string = fs.readFileSync(SCHEMA_FILE, 'utf8'),
  migrations: string = MIGRATIONS_FOLDER,
): Promise<string | undefined> {
  const files = [{ path: 'schema.prisma', content: schema }];
  const database = await openEmbeddedInMemory();
  try {
    await migrate(database, migrations);
    const factory = bindMigrationAwareSqlAdapterFactory({
      ...database.adapter,
      connectToShadowDb: () => Promise.reject(new Error('comparing needs no second database')),
    });
    // Once per process: the bindings keep views of the first instance's memory.
    const Engine = await (loaded ??= loadEngine());
    const engine = await Engine.new(
      { datamodels: [['schema.prisma', schema]] },
      () => undefined,
      factory,
    );
    const { exitCode, stdout } = await engine.diff({
      from: { tag: 'schemaDatasource', files, configDir: path.dirname(SCHEMA_FILE) },
      to: { tag: 'schemaDatamodel', files },
      script: true,
      exitCode: true,
      filters: { externalTables: [], externalEnums: [] },
    });
    engine.free();
    if (exitCode === 0) return undefined;
    return stdout ?? '-- the engine names no statement';
  } finally {
    await database.close();
  }
}

let loaded: Promise<typeof SchemaEngine> | undefined;

/** The package's own entry imports a .wasm file, which Node 20 refuses. */
async function loadEngine(): Promise<typeof SchemaEngine> {
  // A panic of the engine looks for this place to leave its message.
  Object.assign(globalThis, {
    PRISMA_WASM_PANIC_REGISTRY: {
      set_message: (message: string) => process.stderr.write(`${message}\n`),
    },
  });
  const bindings = await import('@prisma/schema-engine-wasm/schema_engine_bg');
  const home = path.dirname(
    createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm/schema_engine_bg'),
  );
  const bytes = fs.readFileSync(path.join(home, 'schema_engine_bg.wasm'));
  const { instance } = await wasm().instantiate(bytes, { './schema_engine_bg.js': bindings });
  bindings.__wbg_set_wasm(instance.exports);
  instance.exports.__wbindgen_start();
  return bindings.SchemaEngine;
}

interface Wasm {
  instantiate(
    bytes: Uint8Array,
    imports: object,
  ): Promise<{ instance: { exports: { __wbindgen_start(): void } } }>;
}

/** Node's types for this version name WebAssembly only as a type. */
function wasm(): Wasm {
  return (globalThis as unknown as { WebAssembly: Wasm }).WebAssembly;
}

if (isMain(import.meta)) {
  const missing = await schemaDiff();
  const check = process.argv.includes('--check');
  if (missing === undefined) {
    process.stdout.write('The migrations and prisma/schema.prisma agree.\n');
  } else {
    process.stdout.write(`${missing}\n`);
    if (check) {
      process.stderr.write(
        'prisma/schema.prisma asks for the SQL above: put it into a new migration, or take it back.\n',
      );
      process.exitCode = 1;
    }
  }
}
