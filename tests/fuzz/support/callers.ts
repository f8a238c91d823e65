/** Who knocks: each role of two clinics, and those whose token is none. */
import { createHmac } from 'node:crypto';
import type { SignedIn } from '../../../src/access/tokens.ts';
import { ROLES, type Role } from '../../../src/domain/words.ts';
import { PASSWORD, type TestClinic, type TestPerson } from '../../support/clinic.ts';

export const STRANGERS = [
  'nobody',
  'expired',
  'forged',
  'unsigned',
  'wrong-key',
  'garbage',
] as const;
export type Stranger = (typeof STRANGERS)[number];
export type Knock = Role | Stranger;

export const isRole = (knock: Knock): knock is Role => (ROLES as readonly string[]).includes(knock);

interface Member extends TestPerson {
  password: string;
  caller: SignedIn;
}

/** The people of one clinic, with their passwords and sign-ins as they become. */
export class Staff {
  readonly clinic: TestClinic;
  readonly #people: Record<Role, Member>;

  constructor(clinic: TestClinic) {
    this.clinic = clinic;
    this.#people = Object.fromEntries(
      ROLES.map((role) => [role, { ...clinic.people[role], password: PASSWORD }]),
    ) as unknown as Record<Role, Member>;
  }

  passwordOf = (knock: Knock): string => (isRole(knock) ? this.#people[knock].password : PASSWORD);

  idOf = (role: Role): string => this.#people[role].id;

  roleOf = (personId: string): Role | undefined =>
    ROLES.find((role) => this.#people[role].id === personId);

  setPassword(role: Role, password: string): void {
    this.#people[role].password = password;
  }

  /** What a caller sends as Authorization; undefined for none. */
  authorization(knock: Knock): string | undefined {
    if (knock === 'nobody') return undefined;
    if (knock === 'garbage') return 'Bearer e30.e30.e30';
    if (isRole(knock)) return `Bearer ${this.#tokenOf(this.#people[knock])}`;
    return `Bearer ${bad(knock, this.#tokenOf(this.#people.administrator))}`;
  }

  #tokenOf = (member: Member): string => this.clinic.token(member);

  /** Signs in anew, so that the person's sign-in stands again. */
  async revive(role: Role): Promise<void> {
    const member = this.#people[role];
    const { email, password } = member;
    const { status, body } = await this.clinic.stranger.post('/api/v1/sign-in', {
      email,
      password,
    });
    if (status !== 200) return;
    const [, claims = ''] = (body as { accessToken: string }).accessToken.split('.');
    const { family } = JSON.parse(Buffer.from(claims, 'base64url').toString()) as {
      family: string;
    };
    this.#people[role] = { ...member, caller: { ...member.caller, familyId: family } };
  }
}

/** A good token made bad: an algorithm of none, another key, time run out, claims changed. */
function bad(how: Exclude<Stranger, 'nobody' | 'garbage'>, token: string): string {
  const [header = '', claims = '', signature = ''] = token.split('.');
  const read = (part: string) => JSON.parse(Buffer.from(part, 'base64url').toString()) as object;
  const write = (part: object) => Buffer.from(JSON.stringify(part)).toString('base64url');
  switch (how) {
    case 'unsigned':
      return `${write({ ...read(header), alg: 'none' })}.${claims}.`;
    case 'forged':
      return `${header}.${write({ ...read(claims), roles: ROLES })}.${signature}`;
    case 'expired':
      // Signed by us, but its claims say a time long gone: made by whoever holds no key, it is forged too.
      return `${header}.${write({ ...read(claims), exp: 1 })}.${signature}`;
    case 'wrong-key': {
      const said = `${header}.${claims}`;
      const mac = createHmac('sha256', 'a key that somebody guessed, of 32 bytes or more');
      return `${said}.${mac.update(said).digest('base64url')}`;
    }
  }
}
