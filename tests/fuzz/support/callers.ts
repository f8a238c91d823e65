/** Who knocks: each role of two clinics by every way of signing in, whose sign-in is over, and whose token is none. */
import { createHmac } from 'node:crypto';
import { REACHES_ONLY, type Who } from '../../../src/access/permissions.ts';
import { accessTokens, type SignedIn } from '../../../src/access/tokens.ts';
import { ROLES, type Role } from '../../../src/domain/words.ts';
import { codeAt } from '../../support/authenticator.ts';
import {
  type Client,
  PASSWORD,
  PASSWORD_AGAIN,
  takeOn,
  type TestClinic,
} from '../../support/clinic.ts';
import { askSecondFactorOf, newDevice, PIN } from '../../support/factors.ts';

/** Tokens that nobody gave, or that no longer count by themselves. */
export const STRANGERS = [
  'nobody',
  'expired',
  'forged',
  'prolonged',
  'unsigned',
  'wrong-key',
  'other-issuer',
  'garbage',
] as const;
export type Stranger = (typeof STRANGERS)[number];

/**
 * How far a sign-in reaches: all that its role may; the bench alone, by PIN; adding the second
 * factor that is asked for; nothing any more, because it was ended or the role was taken.
 */
export type Way = 'whole' | 'bench' | 'enrolment' | 'ended' | 'taken';
const BENCH_ROLES = ['technician', 'prosthetist'] as const;
type Short =
  `bench ${(typeof BENCH_ROLES)[number]}` | `enrolment ${Role}` | `ended ${Role}` | `taken ${Role}`;
export type Knock = Role | Short | Stranger;

/** Sign-ins that are not whole. */
export const SHORT: readonly Short[] = [
  ...BENCH_ROLES.map((role) => `bench ${role}` as const),
  ...ROLES.map((role) => `enrolment ${role}` as const),
  ...ROLES.map((role) => `ended ${role}` as const),
  'taken front_desk',
];
const MEMBERS: readonly (Role | Short)[] = [...ROLES, ...SHORT];

export const isStranger = (knock: Knock): knock is Stranger =>
  (STRANGERS as readonly string[]).includes(knock);

/** Of who is signed in, or was: how, and in which role. */
export function signInOf(knock: Knock): { readonly way: Way; readonly role: Role } | undefined {
  if (isStranger(knock)) return undefined;
  const [first = '', second] = knock.split(' ');
  return second === undefined
    ? { way: 'whole', role: first as Role }
    : { way: first as Way, role: second as Role };
}

/** Whether the role is let in, and the sign-in reaches so far; of one that is over, whether it did. */
export function lets(who: Who, permission: string, knock: Knock): boolean {
  const signIn = signInOf(knock);
  if (signIn === undefined || !(who as readonly Role[]).includes(signIn.role)) return false;
  const { way } = signIn;
  return way === 'bench' || way === 'enrolment' ? REACHES_ONLY[way].has(permission) : true;
}

/** Whether it counts at all: neither a stranger's nor one that is over. */
export const stands = (knock: Knock): boolean =>
  ['whole', 'bench', 'enrolment'].includes(signInOf(knock)?.way ?? '');

interface Member {
  readonly id: string;
  email: string;
  password: string;
  caller: SignedIn;
  /** Of the authenticator app: shown, and from its first code on asked for. */
  secret: string | undefined;
  factor: boolean;
  readonly device: string;
}

/** The people of one clinic, with their passwords, second factors and sign-ins as they become. */
export class Staff {
  readonly clinic: TestClinic;
  readonly #members = new Map<Knock, Member>();
  /** Sign-ins that could not be made good again, and what the service said. */
  readonly lost = new Map<string, number>();

  #areOver = false;

  private constructor(clinic: TestClinic) {
    this.clinic = clinic;
  }

  /** Everybody signed in, each in their way. */
  static async of(clinic: TestClinic): Promise<Staff> {
    const staff = new Staff(clinic);
    for (const role of ROLES) staff.#add(role, clinic.people[role]);
    for (const knock of SHORT) {
      const { way, role } = signInOf(knock)!;
      staff.#add(knock, await takeOn(clinic, { printedName: `Nova ${way}`, roles: [role] }));
    }
    for (const knock of MEMBERS) await staff.revive(knock);
    for (const role of ROLES) {
      const { caller } = staff.#of(`ended ${role}`);
      await clinic.bearing(tokenOf(clinic, caller)).post('/api/v1/sign-out').expect(204);
    }
    const { id } = staff.#of('taken front_desk');
    const admin = staff.client('administrator');
    const { headers } = await admin.get(`/api/v1/people/${id}`).expect(200);
    const roles = { roles: ['technician'], ...PASSWORD_AGAIN };
    await admin.patch(`/api/v1/people/${id}`, roles, String(headers['etag'])).expect(200);
    staff.#areOver = true;
    return staff;
  }

  #add(knock: Knock, { id, email, caller }: { id: string; email: string; caller: SignedIn }): void {
    const device = newDevice();
    const member = { id, email, caller, password: PASSWORD, secret: undefined, factor: false };
    this.#members.set(knock, { ...member, device });
  }

  #of(knock: Knock): Member {
    const member = this.#members.get(knock);
    if (member === undefined) throw new Error(`${knock} is nobody's sign-in`);
    return member;
  }

  passwordOf = (knock: Knock): string => this.#members.get(knock)?.password ?? PASSWORD;
  emailOf = (knock: Knock): string => this.#members.get(knock)?.email ?? '';
  idOf = (knock: Knock): string => this.#of(knock).id;
  deviceOf = (knock: Knock): string => this.#of(knock).device;
  roleOf = (knock: Knock): Role => signInOf(knock)!.role;

  byId = (personId: string): Knock | undefined =>
    MEMBERS.find((knock) => this.#members.get(knock)?.id === personId);
  byEmail = (email: string): Knock | undefined =>
    MEMBERS.find((knock) => this.#members.get(knock)?.email === email.toLowerCase());

  setPassword(knock: Knock, password: string): void {
    this.#of(knock).password = password;
  }

  hasFactor = (knock: Knock): boolean => this.#members.get(knock)?.factor ?? false;

  /** A secret was shown, confirmed by a first code, or ended. */
  setSecret(knock: Knock, secret: string | undefined): void {
    Object.assign(this.#of(knock), { secret, factor: false });
  }
  factorConfirmed(knock: Knock): void {
    this.#of(knock).factor = true;
  }

  /** What the authenticator app shows; a code counts once, so a minute passes before it. */
  codeOf(knock: Knock): string {
    const secret = this.#members.get(knock)?.secret;
    if (secret === undefined) return '000000';
    this.clinic.clock.pass(1);
    return codeAt(secret, this.clinic.clock.now());
  }

  /** Sets a password again by the code that an administrator gave, which ended the one before. */
  async setPasswordBy(knock: Knock, code: string): Promise<void> {
    const { email } = this.#of(knock);
    const said = { email, code, newPassword: PASSWORD };
    await this.clinic.stranger.post('/api/v1/sign-in/code', said);
    this.setPassword(knock, PASSWORD);
    await this.revive(knock);
  }

  /** Somebody who was sent away, renamed or given other roles is back as before. */
  async backAtWork(knock: Knock, email: string | undefined): Promise<void> {
    const member = this.#of(knock);
    if (email !== undefined) member.email = email.trim().toLowerCase();
    const { way, role } = signInOf(knock)!;
    if (knock === 'administrator') {
      // Nobody else here gives the role back.
      await this.clinic.store.raw('update person set active = true where id = $1', [member.id]);
      await this.clinic.store.raw(
        `insert into role_grant (clinic_id, id, person_id, role, granted_at)
         select $1, gen_random_uuid(), $2, 'administrator', $3 where not exists (
           select 1 from role_grant where person_id = $2 and role = 'administrator' and ended_at is null)`,
        [this.clinic.clinicId, member.id, this.clinic.clock.now()],
      );
      await this.revive(knock);
    }
    const admin = await this.administrator();
    const url = `/api/v1/people/${member.id}`;
    const { headers } = await admin.get(url);
    const roles = way === 'taken' ? ['technician'] : [role];
    const again = { currentPassword: this.passwordOf('administrator') };
    await admin.patch(url, { active: true, roles, ...again }, String(headers['etag']));
    await this.revive(knock);
  }

  /** A sign-in would else reach to the second factor only. */
  async asksNobodyForACode(): Promise<void> {
    await askSecondFactorOf(this.clinic, 'nobody');
  }

  /** What a caller sends as Authorization; undefined for none. */
  authorization(knock: Knock): string | undefined {
    if (knock === 'nobody') return undefined;
    if (knock === 'garbage') return 'Bearer e30.e30.e30';
    if (!isStranger(knock)) return `Bearer ${tokenOf(this.clinic, this.#of(knock).caller)}`;
    return `Bearer ${bad(knock, this.clinic, this.#of('administrator').caller)}`;
  }

  client = (knock: Knock): Client =>
    this.clinic.bearing((this.authorization(knock) ?? '').replace('Bearer ', ''));

  /** The administrator, by a sign-in that stands. */
  async administrator(): Promise<Client> {
    const { status } = await this.client('administrator').get('/api/v1/me');
    if (status === 401) await this.revive('administrator');
    return this.client('administrator');
  }

  /** Signs in anew, so that the person's sign-in stands again; one that is to be over stays over. */
  async revive(knock: Knock): Promise<void> {
    switch (signInOf(knock)?.way) {
      case 'ended':
      case 'taken':
        if (this.#areOver) return;
        await this.#signIn(knock);
        return;
      case 'enrolment':
        // Who has a second factor would be let in whole.
        if (this.hasFactor(knock)) await this.#takeFactor(knock);
        await askSecondFactorOf(this.clinic, 'everybody');
        await this.#signIn(knock);
        await askSecondFactorOf(this.clinic, 'nobody');
        return;
      case 'bench':
        if (await this.#signIn(knock)) await this.#byPin(knock);
        return;
      default:
        await this.#signIn(knock);
    }
  }

  async #signIn(knock: Knock): Promise<boolean> {
    const { email, password } = this.#of(knock);
    const said = { email, password };
    const ask = (more: object = {}) =>
      this.clinic.stranger.post('/api/v1/sign-in', { ...said, ...more });
    let answer = await ask();
    if (answer.status === 429) {
      this.clinic.clock.pass(Math.ceil(Number(answer.headers['retry-after'] ?? 60) / 60));
      answer = await ask();
    }
    if ((answer.body as { code?: string }).code === 'second-factor-asked') {
      answer = await ask({ oneTimeCode: this.codeOf(knock) });
    }
    return this.#began(knock, answer);
  }

  async #byPin(knock: Knock): Promise<void> {
    const { id: personId, device: deviceSecret } = this.#of(knock);
    const { clinicId, stranger } = this.clinic;
    await this.client(knock).post('/api/v1/me/bench-pin', { pin: PIN, deviceSecret });
    const said = { clinicId, personId, deviceSecret, pin: PIN };
    this.#began(knock, await stranger.post('/api/v1/sign-in/pin', said));
  }

  #began(knock: Knock, { status, body }: { status: number; body: unknown }): boolean {
    if (status !== 200) {
      const said = `${knock} ${String((body as { code?: string }).code)}`;
      this.lost.set(said, (this.lost.get(said) ?? 0) + 1);
      return false;
    }
    const member = this.#of(knock);
    const [, part = ''] = (body as { accessToken: string }).accessToken.split('.');
    const claims = read(part) as { family: string; roles: Role[]; reach: SignedIn['reach'] };
    const { family: familyId, roles, reach } = claims;
    member.caller = { ...member.caller, familyId, roles, reach };
    return true;
  }

  async #takeFactor(knock: Knock): Promise<void> {
    const { id } = this.#of(knock);
    const again = { currentPassword: this.passwordOf('administrator') };
    await (await this.administrator()).post(`/api/v1/people/${id}/second-factor/reset`, again);
    this.setSecret(knock, undefined);
  }
}

const tokenOf = ({ app, clock }: TestClinic, caller: SignedIn): string =>
  accessTokens(app.jwt).issue(caller, clock.now());

const read = (part: string): object =>
  JSON.parse(Buffer.from(part, 'base64url').toString()) as object;
const write = (part: object): string => Buffer.from(JSON.stringify(part)).toString('base64url');

/** A good token made bad: time run out, claims changed, an algorithm of none, another key or issuer. */
function bad(
  how: Exclude<Stranger, 'nobody' | 'garbage'>,
  { app, clock }: TestClinic,
  caller: SignedIn,
): string {
  const tokens = accessTokens(app.jwt);
  const token = tokens.issue(caller, clock.now());
  const [header = '', claims = '', signature = ''] = token.split('.');
  switch (how) {
    case 'expired':
      return tokens.issue(caller, new Date(clock.now().getTime() - 600_000));
    case 'forged':
      return `${header}.${write({ ...read(claims), roles: ROLES })}.${signature}`;
    case 'prolonged':
      return `${header}.${write({ ...read(claims), exp: 9_999_999_999 })}.${signature}`;
    case 'unsigned':
      return `${write({ ...read(header), alg: 'none' })}.${claims}.`;
    case 'other-issuer':
      return app.jwt.sign(read(claims), { iss: 'another service' });
    case 'wrong-key': {
      const said = `${header}.${claims}`;
      const mac = createHmac('sha256', 'a key that somebody guessed, of 32 bytes or more');
      return `${said}.${mac.update(said).digest('base64url')}`;
    }
  }
}
