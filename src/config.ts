/** The one reader of the environment. Everything else is given values. */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { z } from 'zod';

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
  DEMO: z.enum(['0', '1']).default('0'),
  LOG_LEVEL: z.enum(['trace', 'debug', 'info', 'warn', 'error', 'fatal', 'silent']).default('info'),
  TRUST_PROXY: z.string().min(1).optional(),
  RATE_LIMIT: whole(1, 1_000_000, 3_000),
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
  readonly demo: boolean;
  readonly logLevel: string;
  /** Fastify's `trustProxy`: which proxies may say where a request comes from. */
  readonly trustProxy: boolean | number | string;
  /** Requests a minute from one address; whole clinics share one. */
  readonly requestsPerMinute: number;
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
 * In demo mode without JWT_SECRET one is made and kept in the data folder.
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
    demo,
    logLevel: settings.LOG_LEVEL,
    trustProxy: trustProxyFrom(settings.TRUST_PROXY),
    requestsPerMinute: settings.RATE_LIMIT,
    signInsPerMinute: settings.SIGN_IN_RATE_LIMIT,
    openId: {
      allowedHosts: allowedHostsFrom(settings.OPENID_ALLOWED_HOSTS),
      loopbackHttp: settings.OPENID_LOOPBACK_HTTP === '1',
    },
  };
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

function secretsFromFiles(env: Readonly<Record<string, string | undefined>>) {
  const read: Record<string, string> = {};
  for (const name of ['JWT_SECRET', 'DATABASE_URL', 'MIGRATION_DATABASE_URL']) {
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

function demoSecret(dataFolder: string): string {
  const file = path.join(dataFolder, 'demo-jwt-secret');
  fs.mkdirSync(dataFolder, { recursive: true });
  try {
    fs.writeFileSync(file, randomBytes(48).toString('hex'), { mode: 0o600, flag: 'wx' });
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
