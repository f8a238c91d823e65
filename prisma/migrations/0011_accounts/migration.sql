-- Every sign-in has a row of its own, one-time codes instead of passwords set by others. Older program may run: no, it begins sign-ins without a row.
-- CreateTable
CREATE TABLE "session" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "how" TEXT NOT NULL,
    "device" TEXT NOT NULL,
    "began_at" TIMESTAMPTZ(3) NOT NULL,
    "last_used_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),
    "ended_by_id" UUID,

    CONSTRAINT "session_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "session_clinic_id_person_id_idx" ON "session"("clinic_id", "person_id");

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_clinic_id_ended_by_id_fkey" FOREIGN KEY ("clinic_id", "ended_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- ── The sign-ins there are ──────────────────────────────────────────────────────
insert into session (clinic_id, id, person_id, how, device, began_at, last_used_at, ended_at)
  select clinic_id, family_id, min(person_id::text)::uuid, 'password', 'other', min(issued_at), max(issued_at), max(revoked_at)
  from refresh_token group by clinic_id, family_id;
alter table refresh_token add constraint refresh_token_clinic_id_family_id_fkey
  foreign key (clinic_id, family_id) references session (clinic_id, id) on delete restrict on update restrict;

-- ── Words and shapes ────────────────────────────────────────────────────────────
alter table session add constraint session_how_word check (how in ('password'));
alter table session
  -- Coarse words only, never the user agent itself, which tells one machine from others.
  add constraint session_device_is_coarse check (device ~ '^(phone|tablet|computer|other)( [A-Za-z]{1,12}){0,2}$'),
  add constraint session_used_since_begun check (last_used_at >= began_at),
  add constraint session_ended_by_is_end check (ended_by_id is null or ended_at is not null);

/* A token belongs to a session of the same person, that has not ended. */
create function refresh_token_has_session() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  -- Waits for whoever is ending it.
  perform 1 from session s where s.clinic_id = new.clinic_id and s.id = new.family_id
    and s.person_id = new.person_id and s.ended_at is null for share;
  if not found then
    perform refuse('RP103', 'session-ended', '{}'::jsonb);
  end if;
  return new;
end
$$;
create trigger refresh_token_050_own_clinic before insert on refresh_token for each row execute function only_own_clinic();
create trigger refresh_token_100_session before insert on refresh_token for each row execute function refresh_token_has_session();

/* Who ends a session ends all that came of it; nobody ends a token by itself. */
create function session_ends_tokens() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update refresh_token set revoked_at = new.ended_at
    where clinic_id = new.clinic_id and family_id = new.id and revoked_at is null;
  return null;
end
$$;
create trigger session_200_ends_tokens after update of ended_at on session for each row
  when (old.ended_at is null and new.ended_at is not null) execute function session_ends_tokens();
revoke all on function refresh_token_has_session(), session_ends_tokens() from public;
revoke update (revoked_at) on refresh_token from castbook_app;

-- ── R10, R12: kept, ended once, each clinic its own ─────────────────────────────
create trigger session_ended_once before update on session for each row
  when (old.ended_at is not null) execute function refuse_rewrite();
create trigger session_kept before delete on session for each row execute function refuse_change();
create trigger session_not_emptied before truncate on session for each statement execute function refuse_change();
alter table session enable row level security;
create policy session_own_clinic on session for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on session to castbook_app;
grant update (last_used_at, ended_at, ended_by_id) on session to castbook_app;

-- ── One-time codes: the way to a first password, and to a new one ───────────────
-- AlterTable
ALTER TABLE "person" ALTER COLUMN "password_hash" DROP NOT NULL;

-- CreateTable
CREATE TABLE "access_code" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "code_hash" TEXT NOT NULL,
    "given_at" TIMESTAMPTZ(3) NOT NULL,
    "given_by_id" UUID,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "tries" INTEGER NOT NULL DEFAULT 0,
    "ended_at" TIMESTAMPTZ(3),
    "ended_because" TEXT,

    CONSTRAINT "access_code_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "access_code_clinic_id_person_id_idx" ON "access_code"("clinic_id", "person_id");

-- AddForeignKey
ALTER TABLE "access_code" ADD CONSTRAINT "access_code_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "access_code" ADD CONSTRAINT "access_code_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "access_code" ADD CONSTRAINT "access_code_clinic_id_given_by_id_fkey" FOREIGN KEY ("clinic_id", "given_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

alter table access_code add constraint access_code_purpose_word check (purpose in ('invitation', 'reset'));
alter table access_code add constraint access_code_ended_because_word check (ended_because in ('used', 'replaced', 'guessed', 'left'));
alter table access_code
  add constraint access_code_lasts check (expires_at > given_at and expires_at <= given_at + interval '72 hours'),
  add constraint access_code_tries_limited check (tries between 0 and 10),
  add constraint access_code_end_has_cause check ((ended_at is null) = (ended_because is null)),
  -- Used after its first try, in its time, or not at all.
  add constraint access_code_used_in_time check (ended_because <> 'used' or (ended_at < expires_at and tries > 0)),
  add constraint access_code_not_by_oneself check (given_by_id <> person_id);
create unique index access_code_one_open on access_code (clinic_id, person_id) where ended_at is null;

/* Who left gets no code, and uses none. */
create function access_code_is_for_who_works_here() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform 1 from person p where p.clinic_id = new.clinic_id and p.id = new.person_id and p.active for share;
  if not found then
    perform refuse('RP104', 'person-has-left', '{}'::jsonb);
  end if;
  return new;
end
$$;
create trigger access_code_050_own_clinic before insert on access_code for each row execute function only_own_clinic();
create trigger access_code_100_given before insert on access_code for each row execute function access_code_is_for_who_works_here();
create trigger access_code_100_used before update on access_code for each row
  when (new.ended_because = 'used' and old.ended_at is null) execute function access_code_is_for_who_works_here();
revoke all on function access_code_is_for_who_works_here() from public;

create trigger access_code_050_ended_once before update on access_code for each row
  when (old.ended_at is not null or new.tries < old.tries) execute function refuse_rewrite();
create trigger access_code_kept before delete on access_code for each row execute function refuse_change();
create trigger access_code_not_emptied before truncate on access_code for each statement execute function refuse_change();
alter table access_code enable row level security;
create policy access_code_own_clinic on access_code for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on access_code to castbook_app;
grant update (tries, ended_at, ended_because) on access_code to castbook_app;

-- ── What a session is worth at this moment ──────────────────────────────────────
/*
 * The roles of the person whose session it is; null where it has ended or the person left.
 * Asked in the statement that opens a transaction, before that is within the wall.
 */
create function session_roles(clinic uuid, session_id uuid, who uuid) returns text[]
language sql stable security definer set search_path = public, pg_temp as $$
  select array(select g.role from role_grant g
    where g.clinic_id = s.clinic_id and g.person_id = s.person_id and g.ended_at is null order by g.role)
  from session s join person p on p.clinic_id = s.clinic_id and p.id = s.person_id
  where s.clinic_id = clinic and s.id = session_id and s.person_id = who and s.ended_at is null and p.active
$$;
revoke all on function session_roles(uuid, uuid, uuid) from public;
grant execute on function session_roles(uuid, uuid, uuid) to castbook_app;
