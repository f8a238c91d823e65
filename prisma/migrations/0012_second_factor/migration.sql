-- A second factor for whoever is asked for one, a short PIN for bench devices, and signatures bound to the signer's own sign-in (R8). Older program may run: no, its signatures name no sign-in.
-- AlterTable
ALTER TABLE "clinic" ADD COLUMN     "bench_lock_minutes" INTEGER NOT NULL DEFAULT 10,
ADD COLUMN     "pin_hours" INTEGER NOT NULL DEFAULT 12,
ADD COLUMN     "second_factor_for" TEXT NOT NULL DEFAULT 'nobody';

-- AlterTable
ALTER TABLE "session" ADD COLUMN     "bench_pin_id" UUID,
ADD COLUMN     "with_second_factor" BOOLEAN NOT NULL DEFAULT false;

-- AlterTable
ALTER TABLE "signature" ADD COLUMN     "session_id" UUID;

-- CreateTable
CREATE TABLE "second_factor" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "secret" TEXT,
    "begun_at" TIMESTAMPTZ(3) NOT NULL,
    "confirmed_at" TIMESTAMPTZ(3),
    "last_step" INTEGER,
    "ended_at" TIMESTAMPTZ(3),
    "ended_by_id" UUID,
    "ended_how" TEXT,

    CONSTRAINT "second_factor_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "recovery_code" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "second_factor_id" UUID NOT NULL,
    "code_sha256" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),
    "replaced_at" TIMESTAMPTZ(3),

    CONSTRAINT "recovery_code_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "bench_pin" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "session_id" UUID NOT NULL,
    "device_sha256" TEXT NOT NULL,
    "pin_hash" TEXT,
    "set_at" TIMESTAMPTZ(3) NOT NULL,
    "good_until" TIMESTAMPTZ(3) NOT NULL,
    "tries" INTEGER NOT NULL DEFAULT 0,
    "ended_at" TIMESTAMPTZ(3),
    "ended_how" TEXT,

    CONSTRAINT "bench_pin_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "second_factor_clinic_id_person_id_idx" ON "second_factor"("clinic_id", "person_id");

-- CreateIndex
CREATE UNIQUE INDEX "recovery_code_clinic_id_second_factor_id_code_sha256_key" ON "recovery_code"("clinic_id", "second_factor_id", "code_sha256");

-- CreateIndex
CREATE INDEX "bench_pin_clinic_id_person_id_idx" ON "bench_pin"("clinic_id", "person_id");

-- CreateIndex
CREATE INDEX "bench_pin_clinic_id_session_id_idx" ON "bench_pin"("clinic_id", "session_id");

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_clinic_id_bench_pin_id_fkey" FOREIGN KEY ("clinic_id", "bench_pin_id") REFERENCES "bench_pin"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "signature" ADD CONSTRAINT "signature_clinic_id_session_id_fkey" FOREIGN KEY ("clinic_id", "session_id") REFERENCES "session"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "second_factor" ADD CONSTRAINT "second_factor_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "second_factor" ADD CONSTRAINT "second_factor_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "second_factor" ADD CONSTRAINT "second_factor_clinic_id_ended_by_id_fkey" FOREIGN KEY ("clinic_id", "ended_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "recovery_code" ADD CONSTRAINT "recovery_code_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "recovery_code" ADD CONSTRAINT "recovery_code_clinic_id_second_factor_id_fkey" FOREIGN KEY ("clinic_id", "second_factor_id") REFERENCES "second_factor"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "bench_pin" ADD CONSTRAINT "bench_pin_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "bench_pin" ADD CONSTRAINT "bench_pin_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "bench_pin" ADD CONSTRAINT "bench_pin_clinic_id_session_id_fkey" FOREIGN KEY ("clinic_id", "session_id") REFERENCES "session"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- ── Words ───────────────────────────────────────────────────────────────────────
alter table clinic add constraint clinic_second_factor_for_word check (second_factor_for in ('nobody', 'administrators_and_signers', 'everybody'));
alter table clinic
  add constraint clinic_bench_lock check (bench_lock_minutes between 1 and 120),
  -- A clinic may shorten it, and never lengthen it past a day.
  add constraint clinic_pin_hours check (pin_hours between 1 and 24);
grant update (second_factor_for, bench_lock_minutes, pin_hours) on clinic to castbook_app;
alter table second_factor add constraint second_factor_ended_how_word check (ended_how in ('begun_anew', 'turned_off', 'reset'));
alter table bench_pin add constraint bench_pin_ended_how_word check (ended_how in ('set_anew', 'taken_off', 'tries', 'session', 'password', 'person', 'role'));
alter table session drop constraint session_how_word;
alter table session add constraint session_how_word check (how in ('password', 'pin'));

-- ── What is encrypted, and who may encrypt it anew ─────────────────────────────
-- The form of src/store/columnCipher.ts. That it opens, only who has the key can tell.
create function is_encrypted(kept text) returns boolean
language sql immutable parallel safe set search_path = public, pg_temp as $$
  select kept ~ '^enc1\.[A-Za-z0-9_-]{1,32}\.[A-Za-z0-9_-]{16}\.[A-Za-z0-9_-]{22,}$'
$$;
create function is_owner_of(which oid) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select pg_has_role(current_user, relowner, 'USAGE') from pg_class where oid = which
$$;

-- ── The authenticator app: one a person, its secret gone with its end, each step taken once ──
alter table second_factor
  add constraint second_factor_secret_while_open check ((ended_at is null) = (secret is not null)),
  add constraint second_factor_secret_encrypted check (is_encrypted(secret)),
  add constraint second_factor_step_of_confirmed check ((confirmed_at is null) = (last_step is null)),
  add constraint second_factor_end check ((ended_at is null) = (ended_how is null) and (ended_by_id is null or ended_at is not null));
create unique index second_factor_one_open on second_factor (clinic_id, person_id) where ended_at is null;
create trigger second_factor_100_ended_once before update on second_factor for each row
  when (old.ended_at is not null) execute function refuse_rewrite();
create trigger second_factor_200_only_on before update on second_factor for each row
  when ((new.secret is not null and new.secret is distinct from old.secret
      and (old.secret is null or not is_owner_of('second_factor'::regclass)))
    or (old.confirmed_at is not null and new.confirmed_at is distinct from old.confirmed_at)
    or (old.last_step is not null and coalesce(new.last_step, 0) < old.last_step))
  execute function refuse_rewrite();

alter table recovery_code
  add constraint recovery_code_sha256 check (code_sha256 ~ '^[0-9a-f]{64}$'),
  add constraint recovery_code_one_end check (used_at is null or replaced_at is null);
create trigger recovery_code_used_once before update on recovery_code for each row
  when (old.used_at is not null or old.replaced_at is not null) execute function refuse_rewrite();

-- ── What a sign-in was begun with ───────────────────────────────────────────────
alter table session add constraint session_pin_is_how check ((how = 'pin') = (bench_pin_id is not null));

/* With a second factor is a session only of somebody who has one; by PIN only while that counts. */
create function session_is_as_begun() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if new.with_second_factor and new.how = 'password' and not exists (select 1 from second_factor f
      where f.clinic_id = new.clinic_id and f.person_id = new.person_id
        and f.confirmed_at is not null and f.ended_at is null) then
    perform refuse('RP201', 'second-factor-missing', '{}'::jsonb);
  end if;
  if tg_op = 'INSERT' and new.bench_pin_id is not null then
    perform 1 from bench_pin p where p.clinic_id = new.clinic_id and p.id = new.bench_pin_id
      and p.person_id = new.person_id and p.ended_at is null and p.good_until > new.began_at for share;
    if not found then
      perform refuse('RP202', 'pin-ended', '{}'::jsonb);
    end if;
  end if;
  return new;
end
$$;
create trigger session_050_own_clinic before insert on session for each row execute function only_own_clinic();
create trigger session_100_as_begun before insert or update of with_second_factor on session
  for each row execute function session_is_as_begun();
grant update (with_second_factor) on session to castbook_app;

/* A second factor that has ended makes no sign-in strong any more. */
create function second_factor_leaves_sessions() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update session set with_second_factor = false
    where clinic_id = new.clinic_id and person_id = new.person_id and with_second_factor and ended_at is null;
  return null;
end
$$;
create trigger second_factor_300_leaves_sessions after update of ended_at on second_factor for each row
  when (old.ended_at is null and new.ended_at is not null and old.confirmed_at is not null)
  execute function second_factor_leaves_sessions();

-- ── The short PIN: on one device, after a full sign-in, for a day at most, five tries ──
alter table bench_pin
  add constraint bench_pin_device check (device_sha256 ~ '^[0-9a-f]{64}$'),
  add constraint bench_pin_hash_while_open check ((ended_at is null) = (pin_hash is not null)),
  add constraint bench_pin_end check ((ended_at is null) = (ended_how is null)),
  add constraint bench_pin_tries check (tries between 0 and 5),
  add constraint bench_pin_good_for_a_time check (good_until > set_at);
create unique index bench_pin_one_open on bench_pin (clinic_id, device_sha256, person_id) where ended_at is null;
create trigger bench_pin_100_ended_once before update on bench_pin for each row
  when (old.ended_at is not null) execute function refuse_rewrite();
create trigger bench_pin_200_not_changed before update on bench_pin for each row
  when (new.pin_hash is not null and new.pin_hash is distinct from old.pin_hash) execute function refuse_rewrite();

/* A PIN comes from an open full sign-in of the same person, and is good for a day from it at most. */
create function bench_pin_after_sign_in() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform 1 from session s where s.clinic_id = new.clinic_id and s.id = new.session_id and s.person_id = new.person_id
    and s.how <> 'pin' and s.ended_at is null and new.good_until <= s.began_at + interval '24 hours' for share;
  if not found then
    perform refuse('RP203', 'pin-needs-fresh-sign-in', jsonb_build_object('hours', 24));
  end if;
  return new;
end
$$;
create trigger bench_pin_050_own_clinic before insert on bench_pin for each row execute function only_own_clinic();
create trigger bench_pin_100_after_sign_in before insert on bench_pin for each row execute function bench_pin_after_sign_in();

/* What ends a PIN ends the sign-ins by it. */
create function bench_pin_ends_sessions() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update session set ended_at = greatest(new.ended_at, last_used_at)
    where clinic_id = new.clinic_id and bench_pin_id = new.id and ended_at is null;
  return null;
end
$$;
create trigger bench_pin_300_ends_sessions after update of ended_at on bench_pin for each row
  when (old.ended_at is null and new.ended_at is not null) execute function bench_pin_ends_sessions();

create function session_ends_pins() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update bench_pin set ended_at = new.ended_at, ended_how = 'session', pin_hash = null
    where clinic_id = new.clinic_id and session_id = new.id and ended_at is null;
  return null;
end
$$;
create trigger session_300_ends_pins after update of ended_at on session for each row
  when (old.ended_at is null and new.ended_at is not null) execute function session_ends_pins();

/* Another password, a person who leaves, a role taken away: whoever writes it, the PINs end. */
create function person_ends_pins() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update bench_pin set ended_at = now(), pin_hash = null,
      ended_how = case when new.active then 'password' else 'person' end
    where clinic_id = new.clinic_id and person_id = new.id and ended_at is null;
  return null;
end
$$;
create trigger person_300_ends_pins after update of password_hash, active on person for each row
  when (old.password_hash is distinct from new.password_hash or (old.active and not new.active))
  execute function person_ends_pins();

create function role_grant_ends_pins() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update bench_pin set ended_at = now(), ended_how = 'role', pin_hash = null
    where clinic_id = new.clinic_id and person_id = new.person_id and ended_at is null;
  return null;
end
$$;
create trigger role_grant_300_ends_pins after update of ended_at on role_grant for each row
  when (old.ended_at is null and new.ended_at is not null) execute function role_grant_ends_pins();

-- ── R8: a signature is given in the signer's own open sign-in, strong enough for the clinic ──
create function signature_in_own_session() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  s session;
begin
  -- Waits for whoever is ending it.
  select * into s from session where clinic_id = new.clinic_id and id = new.session_id and ended_at is null for share;
  if s.person_id is distinct from new.person_id then
    perform refuse('R0805', 'session-not-the-signers', '{}'::jsonb);
  end if;
  if s.how = 'pin' then
    perform refuse('R0806', 'signing-not-by-pin', '{}'::jsonb);
  end if;
  if not s.with_second_factor and exists (select 1 from clinic c where c.id = new.clinic_id
      and (c.second_factor_for = 'everybody' or (c.second_factor_for = 'administrators_and_signers'
        and exists (select 1 from role_grant g where g.clinic_id = c.id and g.person_id = new.person_id
          and g.role in ('administrator', 'prosthetist') and g.ended_at is null)))) then
    perform refuse('R0807', 'signing-needs-second-factor', '{}'::jsonb);
  end if;
  return new;
end
$$;
create trigger signature_050_own_clinic before insert on signature for each row execute function only_own_clinic();
create trigger signature_100_own_session before insert on signature for each row execute function signature_in_own_session();
revoke all on function session_is_as_begun(), second_factor_leaves_sessions(), bench_pin_after_sign_in(), bench_pin_ends_sessions(),
  session_ends_pins(), person_ends_pins(), role_grant_ends_pins(), signature_in_own_session() from public;

-- ── R10, R12: kept, each clinic its own ─────────────────────────────────────────
do $$
declare
  t text;
begin
  foreach t in array array['second_factor', 'recovery_code', 'bench_pin'] loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('alter table %I enable row level security', t);
    execute format('create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting(''app.clinic'', true), '''')::uuid)
      with check (clinic_id = nullif(current_setting(''app.clinic'', true), '''')::uuid)', t || '_own_clinic', t);
    execute format('grant select, insert on %I to castbook_app', t);
  end loop;
end
$$;
grant update (secret, confirmed_at, last_step, ended_at, ended_by_id, ended_how) on second_factor to castbook_app;
grant update (used_at, replaced_at) on recovery_code to castbook_app;
grant update (tries, pin_hash, ended_at, ended_how) on bench_pin to castbook_app;
