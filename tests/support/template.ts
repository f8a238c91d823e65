import { silentLog } from '../../src/store/database.ts';
import { openServer } from '../../src/store/server.ts';

/** What each test file makes its own database from. */
export type TestTemplate =
  | { readonly kind: 'embedded'; readonly dumpFile: string }
  | { readonly kind: 'server'; readonly serverUrl: string; readonly template: string };

declare module 'vitest' {
  export interface ProvidedContext {
    testTemplate: TestTemplate;
  }
}

/** One statement on the server's own database: CREATE and DROP DATABASE. */
export async function onServer(serverUrl: string, sql: string): Promise<void> {
  const server = openServer(serverUrl, { log: silentLog, poolMax: 1 });
  try {
    await server.raw(sql);
  } finally {
    await server.close();
  }
}

/** The URL of another database on the same server. */
export function databaseOn(serverUrl: string, name: string): string {
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  return url.href;
}
