/** The one reader of the environment. Everything else is given values. */
import { createPrivateKey, generateKeyPairSync, randomBytes, type KeyObject } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { z } from 'zod';
import { KEY_ID, type ColumnKey } from './store/columnCipher.ts';

const LEAST_SECRET_BYTES = 32;
const LEAST_DIFFERENT_CHARACTERS = 10;
/** Texts that stand in examples everywhere. */
const PLACEHOLDER =
  /change.?me|secret|password|example|placeholder|castbook|default|1234567|abcdefg/i;

const whole = (from: number, to: number, otherwise: number) =>
  z.coerce.number().int().min(from).max(to).default(otherwise);

const environment = z.object({
  PORT: whole(0, 65_535, 8080),
  HOST: z.string().min(1).default('127.0.0.1'),
  PUBLIC_URL: z.url({ protocol: /^https?$/ }).default('http://localhost:8080'),
  DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  MIGRATION_DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  DATABASE_POOL: whole(2, 200, 10),
  DATA_DIR: z.string().min(1).default('./data'),
  JWT_SECRET: z.string().optional(),
  COLUMN_KEYS: z.string().optional(),
  HEAD_SIGNING_KEY: z.string().optional(),
  DEMO: z.enum(['0', '1']).default('0'),
  LOG_LEVEL: z.enum(['trace', 'debug', 'info', 'warn', 'error', 'fatal', 'silent']).default('info'),
  TRUST_PROXY: z.string().min(1).optional(),
  RATE_LIMIT: whole(1, 1_000_000, 3_000),
  PERSON_RATE_LIMIT: whole(1, 1_000_000, 1_200),
  SIGN_IN_RATE_LIMIT: whole(1, 1_000_000, 30),
  OPENID_ALLOWED_HOSTS: z.string().optional(),
  OPENID_LOOPBACK_HTTP: z.enum(['0', '1']).default('0'),
});

export interface Config {
  readonly port: number;
  readonly host: string;
  /** Where people reach the service: the codes on printed papers lead there. */
  readonly publicUrl: string;
  /** Left out: the embedded database in `dataFolder`. */
  readonly databaseUrl: string | undefined;
  /** An owner's sign-in for migrations, where the service's own may not change tables. */
  readonly migrationDatabaseUrl: string | undefined;
  readonly databasePool: number;
  readonly dataFolder: string;
  /** Signs access tokens. */
  readonly jwtSecret: string;
  /** Encrypt contact data in the record (store/columnCipher.ts): the first is the one that writes. */
  readonly columnKeys: readonly ColumnKey[];
  /** Private Ed25519 key that signs heads of the record; none are signed without it. */
  readonly headSigningKey: KeyObject | undefined;
  readonly demo: boolean;
  readonly logLevel: string;
  /** Fastify's `trustProxy`: which proxies may say where a request comes from. */
  readonly trustProxy: boolean | number | string;
  /** Requests a minute from one address; whole clinics share one. */
  readonly requestsPerMinute: number;
  /** Requests a minute of one person who is signed in, from wherever. */
  readonly requestsPerPersonPerMinute: number;
  readonly signInsPerMinute: number;
  /** Which providers of the operator's own network may be asked, and whether by plain http on this machine. */
  readonly openId: { readonly allowedHosts: readonly string[]; readonly loopbackHttp: boolean };
}

/** The configuration cannot be used; the message says which setting and why. */
export class ConfigProblem extends Error {
  override readonly name = 'ConfigProblem';
}

/**
 * Reads and checks the settings. For each secret `NAME`, `NAME_FILE` may name a file that holds it.
 * In demo mode without JWT_SECRET or COLUMN_KEYS they are made and kept in the data folder.
 * @throws ConfigProblem
 */
export function readConfig(
  env: Readonly<Record<string, string | undefined>> = process.env,
): Config {
  const settings = settingsFrom(env);
  const demo = settings.DEMO === '1';
  const where = whereRecordIs(settings);
  const { dataFolder } = where;
  return {
    ...where,
    port: settings.PORT,
    host: settings.HOST,
    publicUrl: settings.PUBLIC_URL,
    databasePool: settings.DATABASE_POOL,
    jwtSecret:
      settings.JWT_SECRET === undefined && demo
        ? demoSecret(dataFolder)
        : checkedSecret(settings.JWT_SECRET),
    columnKeys: columnKeysFrom(
      settings.COLUMN_KEYS ?? (demo ? demoColumnKeys(dataFolder) : undefined),
    ),
    headSigningKey: signingKeyFrom(
      settings.HEAD_SIGNING_KEY ?? (demo ? demoSigningKey(dataFolder) : undefined),
    ),
    demo,
    logLevel: settings.LOG_LEVEL,
    trustProxy: trustProxyFrom(settings.TRUST_PROXY),
    requestsPerMinute: settings.RATE_LIMIT,
    requestsPerPersonPerMinute: settings.PERSON_RATE_LIMIT,
    signInsPerMinute: settings.SIGN_IN_RATE_LIMIT,
    openId: {
      allowedHosts: allowedHostsFrom(settings.OPENID_ALLOWED_HOSTS),
      loopbackHttp: settings.OPENID_LOOPBACK_HTTP === '1',
    },
  };
}

/**
 * Only the keys of encrypted columns, by the same settings: for scripts that read or write such.
 * @throws ConfigProblem
 */
export function readColumnKeys(
  env: Readonly<Record<string, string | undefined>> = process.env,
): readonly ColumnKey[] {
  const settings = settingsFrom(env);
  const demo =
    settings.DEMO === '1' ? demoColumnKeys(whereRecordIs(settings).dataFolder) : undefined;
  return columnKeysFrom(settings.COLUMN_KEYS ?? demo);
}

/**
 * Only where the record is, by the same settings: for scripts that need no secret.
 * @throws ConfigProblem
 */
export const readWhereRecordIs = (
  env: Readonly<Record<string, string | undefined>> = process.env,
): WhereRecordIs => whereRecordIs(settingsFrom(env));

type WhereRecordIs = Pick<Config, 'databaseUrl' | 'migrationDatabaseUrl' | 'dataFolder'>;

const whereRecordIs = (settings: z.infer<typeof environment>): WhereRecordIs => ({
  databaseUrl: settings.DATABASE_URL,
  migrationDatabaseUrl: settings.MIGRATION_DATABASE_URL,
  dataFolder: path.resolve(settings.DATA_DIR),
});

function settingsFrom(env: Readonly<Record<string, string | undefined>>) {
  const read = environment.safeParse({ ...definedOnly(env), ...secretsFromFiles(env) });
  if (read.success) return read.data;
  const faults = read.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`);
  throw new ConfigProblem(`These settings cannot be used: ${faults.join('; ')}.`);
}

/** An empty setting is as good as none: compose files pass such on. */
const definedOnly = (env: Readonly<Record<string, string | undefined>>) =>
  Object.fromEntries(
    Object.entries(env).filter(([, value]) => value !== undefined && value !== ''),
  );

/** What may be named by a file instead. */
const SECRETS = [
  'JWT_SECRET',
  'COLUMN_KEYS',
  'HEAD_SIGNING_KEY',
  'DATABASE_URL',
  'MIGRATION_DATABASE_URL',
];

function secretsFromFiles(env: Readonly<Record<string, string | undefined>>) {
  const read: Record<string, string> = {};
  for (const name of SECRETS) {
    const file = env[`${name}_FILE`];
    if (file === undefined || file === '') continue;
    if (env[name]) throw new ConfigProblem(`${name} and ${name}_FILE are both set; keep one.`);
    try {
      read[name] = fs.readFileSync(file, 'utf8').trim();
    } catch (cause) {
      throw new ConfigProblem(`${name}_FILE names a file that cannot be read: ${file}.`, { cause });
    }
  }
  return read;
}

function checkedSecret(secret: string | undefined): string {
  const way =
    'Set JWT_SECRET (or JWT_SECRET_FILE) to at least 32 random bytes, for instance from "openssl rand -base64 48".';
  if (secret === undefined) {
    throw new ConfigProblem(`JWT_SECRET is missing: access tokens could be forged. ${way}`);
  }
  if (Buffer.byteLength(secret, 'utf8') < LEAST_SECRET_BYTES) {
    throw new ConfigProblem(`JWT_SECRET is shorter than ${LEAST_SECRET_BYTES} bytes. ${way}`);
  }
  if (new Set(secret).size < LEAST_DIFFERENT_CHARACTERS || PLACEHOLDER.test(secret)) {
    throw new ConfigProblem(`JWT_SECRET is easy to guess. ${way}`);
  }
  return secret;
}

const KEY_BYTES = 32;

/**
 * `id:base64` of 32 bytes each, with commas, blanks or line ends between. What a key is never
 * stands in a message.
 */
function columnKeysFrom(text: string | undefined): readonly ColumnKey[] {
  const way =
    'Set COLUMN_KEYS (or COLUMN_KEYS_FILE) to a list of name:key, the present one first; a key is 32 random bytes in base64, for instance "2026a:$(openssl rand -base64 32)". Keep each key for as long as the record and its backups: without it what it encrypted is lost.';
  const given = (text ?? '').split(/[\s,]+/).filter((each) => each !== '');
  if (given.length === 0) {
    throw new ConfigProblem(
      `COLUMN_KEYS is missing: telephone numbers and addresses would stand readable in the database. ${way}`,
    );
  }
  const keys = given.map((each, at): ColumnKey => {
    const which = `Key ${at + 1} of COLUMN_KEYS`;
    const [id = '', base64 = '', ...rest] = each.split(':');
    if (!KEY_ID.test(id) || rest.length > 0) {
      throw new ConfigProblem(
        `${which} has no usable name before its colon: up to 32 letters, digits, "-" and "_". ${way}`,
      );
    }
    const bytes = Buffer.from(base64, 'base64');
    // Read back: what is no base64 is passed over in silence.
    const isWhole = bytes.toString('base64').replace(/=+$/, '') === base64.replace(/=+$/, '');
    if (bytes.length !== KEY_BYTES || !isWhole) {
      throw new ConfigProblem(`${which} (${id}) is not ${KEY_BYTES} bytes in base64. ${way}`);
    }
    if (new Set(bytes).size < LEAST_DIFFERENT_CHARACTERS) {
      throw new ConfigProblem(`${which} (${id}) is easy to guess. ${way}`);
    }
    return { id, bytes };
  });
  for (const [at, { id, bytes }] of keys.entries()) {
    if (
      keys.slice(0, at).some((other) => other.id === id || Buffer.from(other.bytes).equals(bytes))
    ) {
      throw new ConfigProblem(`COLUMN_KEYS has a key or its name twice: ${id}. ${way}`);
    }
  }
  return keys;
}

/**
 * PKCS #8 as PEM; in a setting, where line ends are hard to pass on, `\\n` may stand for them.
 * @throws ConfigProblem
 */
export function signingKeyFrom(pem: string | undefined): KeyObject | undefined {
  if (pem === undefined) return undefined;
  const wrong =
    'HEAD_SIGNING_KEY is no private Ed25519 key. Make one with "openssl genpkey -algorithm ed25519 -out head-signing-key.pem", and name the file in HEAD_SIGNING_KEY_FILE.';
  let key: KeyObject;
  try {
    key = createPrivateKey(pem.replaceAll('\\n', '\n'));
  } catch (cause) {
    throw new ConfigProblem(wrong, { cause });
  }
  if (key.asymmetricKeyType !== 'ed25519') throw new ConfigProblem(wrong);
  return key;
}

const demoSecret = (dataFolder: string): string =>
  madeOnce(dataFolder, 'demo-jwt-secret', () => randomBytes(48).toString('hex'));

const demoColumnKeys = (dataFolder: string): string =>
  madeOnce(
    dataFolder,
    'demo-column-keys',
    () => `demo:${randomBytes(KEY_BYTES).toString('base64')}`,
  );

const demoSigningKey = (dataFolder: string): string =>
  madeOnce(dataFolder, 'demo-head-signing-key.pem', () =>
    generateKeyPairSync('ed25519').privateKey.export({ format: 'pem', type: 'pkcs8' }).toString(),
  );

/** A secret of the demo, beside its record: everything in it is invented. */
function madeOnce(dataFolder: string, name: string, make: () => string): string {
  const file = path.join(dataFolder, name);
  fs.mkdirSync(dataFolder, { recursive: true });
  try {
    fs.writeFileSync(file, make(), { mode: 0o600, flag: 'wx' });
  } catch (failure) {
    if (!(failure instanceof Error && 'code' in failure && failure.code === 'EEXIST'))
      throw failure;
  }
  return fs.readFileSync(file, 'utf8').trim();
}

/** Names or IPv4 addresses with commas between, each with a port where it is not 443. */
function allowedHostsFrom(text = ''): readonly string[] {
  const hosts = text.split(',').map((each) => each.trim().toLowerCase());
  const given = hosts.filter((host) => host !== '');
  const wrong = given.find((host) => !/^[a-z0-9]([a-z0-9.-]*[a-z0-9])?(:\d{1,5})?$/.test(host));
  if (wrong === undefined) return given;
  throw new ConfigProblem(
    `OPENID_ALLOWED_HOSTS names no host: ${wrong}. Give names with commas between, each with a port where it is not 443, as sign-in.clinic.internal:8443.`,
  );
}

/** A count of proxies, addresses or networks with commas, or true and false. */
function trustProxyFrom(text: string | undefined): boolean | number | string {
  if (text === undefined || text === 'false') return false;
  if (text === 'true') return true;
  return /^\d+$/.test(text) ? Number(text) : text;
}
