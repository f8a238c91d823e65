/** Each refusal of the database about second factors, PINs and the signer's own sign-in, tried by model and by plain SQL. */
import { randomUUID } from 'node:crypto';
import type { Tx } from '../../src/store/act.ts';
import { NOW, type ClinicRows } from './rows.ts';

const SHA = 'f'.repeat(64);
const AT = new Date(NOW);

interface SignInCase {
  readonly code: string;
  readonly attempt: {
    readonly model: (tx: Tx) => Promise<unknown>;
    readonly raw: (tx: Tx) => Promise<unknown>;
  };
  readonly facts: Readonly<Record<string, unknown>>;
}

/** @param of the clinic, once it is founded */
export function signInCases(
  of: () => ClinicRows,
): Readonly<Record<string, () => Promise<SignInCase>>> {
  const signing = (sessionId: string) => {
    const { clinicId, prosthetistId: personId } = of();
    const [id, subjectId] = [randomUUID(), randomUUID()];
    const row = { printedName: 'Paula Fitting', meaning: 'fit_accepted', subjectKind: 'socket' };
    return {
      model: (tx: Tx) =>
        tx.signature.create({
          data: {
            ...row,
            clinicId,
            id,
            personId,
            sessionId,
            subjectId,
            signedAt: AT,
            content: {},
            contentSha256: SHA,
          },
        }),
      raw: (tx: Tx) => tx.$executeRaw`
        insert into signature (clinic_id, id, person_id, printed_name, meaning, signed_at, subject_kind, subject_id, content, content_sha256, session_id)
        values (${clinicId}::uuid, ${id}::uuid, ${personId}::uuid, 'Paula Fitting', 'fit_accepted', ${AT}, 'socket', ${subjectId}::uuid, '{}', ${SHA}, ${sessionId}::uuid)`,
    };
  };
  const beginning = (benchPinId: string) => {
    const { clinicId, technicianId: personId } = of();
    const id = randomUUID();
    return {
      model: (tx: Tx) =>
        tx.session.create({
          data: {
            clinicId,
            id,
            personId,
            how: 'pin',
            device: 'other',
            beganAt: AT,
            lastUsedAt: AT,
            benchPinId,
          },
        }),
      raw: (tx: Tx) => tx.$executeRaw`
        insert into session (clinic_id, id, person_id, how, device, began_at, last_used_at, bench_pin_id)
        values (${clinicId}::uuid, ${id}::uuid, ${personId}::uuid, 'pin', 'other', ${AT}, ${AT}, ${benchPinId}::uuid)`,
    };
  };
  const pinOf = (personId: string, sessionId: string, over: object = {}) =>
    of().insert('bench_pin', {
      person_id: personId,
      session_id: sessionId,
      device_sha256: SHA,
      pin_hash: 'argon2id',
      set_at: NOW,
      good_until: '2026-03-02T21:00:00.000Z',
      ...over,
    });
  return {
    R0805: async () => ({
      code: 'session-not-the-signers',
      attempt: signing((await of().session(of().technicianId)).id),
      facts: {},
    }),
    R0806: async () => {
      const own = await of().session(of().prosthetistId);
      const pin = await pinOf(of().prosthetistId, own.id);
      const byPin = await of().session(of().prosthetistId, { how: 'pin', bench_pin_id: pin.id });
      return { code: 'signing-not-by-pin', attempt: signing(byPin.id), facts: {} };
    },
    R0807: async () => {
      const own = await of().session(of().prosthetistId);
      const { clinicId } = of();
      const { model, raw } = signing(own.id);
      // Asked within the attempt alone: it is rolled back with it.
      const asked = (work: (tx: Tx) => Promise<unknown>) => async (tx: Tx) => {
        await tx.$executeRaw`update clinic set second_factor_for = 'everybody' where id = ${clinicId}::uuid`;
        return work(tx);
      };
      return {
        code: 'signing-needs-second-factor',
        attempt: { model: asked(model), raw: asked(raw) },
        facts: {},
      };
    },
    RP201: async () => {
      const { id } = await of().session(of().technicianId);
      const { clinicId } = of();
      return {
        code: 'second-factor-missing',
        attempt: {
          model: (tx) =>
            tx.session.updateMany({ where: { clinicId, id }, data: { withSecondFactor: true } }),
          raw: (tx) =>
            tx.$executeRaw`update session set with_second_factor = true where id = ${id}::uuid`,
        },
        facts: {},
      };
    },
    RP202: async () => {
      const own = await of().session(of().technicianId);
      const over = { ended_at: NOW, ended_how: 'tries', pin_hash: null };
      const pin = await pinOf(of().technicianId, own.id, over);
      return { code: 'pin-ended', attempt: beginning(pin.id), facts: {} };
    },
    RP203: async () => {
      const { clinicId, technicianId: personId } = of();
      const { id: sessionId } = await of().session(of().prosthetistId);
      const id = randomUUID();
      const goodUntil = new Date(AT.getTime() + 3_600_000);
      const pin = { deviceSha256: SHA, pinHash: 'argon2id', setAt: AT, goodUntil };
      return {
        code: 'pin-needs-fresh-sign-in',
        attempt: {
          model: (tx) =>
            tx.benchPin.create({ data: { ...pin, clinicId, id, personId, sessionId } }),
          raw: (tx) => tx.$executeRaw`
            insert into bench_pin (clinic_id, id, person_id, session_id, device_sha256, pin_hash, set_at, good_until)
            values (${clinicId}::uuid, ${id}::uuid, ${personId}::uuid, ${sessionId}::uuid, ${SHA}, 'argon2id', ${AT}, ${goodUntil})`,
        },
        facts: { hours: 24 },
      };
    },
  };
}
