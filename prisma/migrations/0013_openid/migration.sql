-- People may sign in by their organisation's OpenID Connect provider (design §5). Older program may run: yes.
-- CreateTable
CREATE TABLE "openid_provider" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "issuer" TEXT NOT NULL,
    "client_id" TEXT NOT NULL,
    "client_secret" TEXT NOT NULL,
    "button_name" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL,
    "version" INTEGER NOT NULL,
    "changed_at" TIMESTAMPTZ(3) NOT NULL,
    "changed_by_id" UUID NOT NULL,
    CONSTRAINT "openid_provider_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "openid_link" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "issuer" TEXT NOT NULL,
    "subject" TEXT,
    "how" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID NOT NULL,
    "invited_until" TIMESTAMPTZ(3),
    "linked_at" TIMESTAMPTZ(3),
    "ended_at" TIMESTAMPTZ(3),
    "ended_by_id" UUID,
    CONSTRAINT "openid_link_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "openid_attempt" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "state_sha256" TEXT NOT NULL,
    "browser_sha256" TEXT NOT NULL,
    "issuer" TEXT NOT NULL,
    "provider_version" INTEGER NOT NULL,
    "kept" TEXT,
    "person_id" UUID,
    "family_id" UUID,
    "begun_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),
    "proven_at" TIMESTAMPTZ(3),
    "proven_until" TIMESTAMPTZ(3),
    "spent_at" TIMESTAMPTZ(3),
    CONSTRAINT "openid_attempt_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "openid_provider_clinic_id_key" ON "openid_provider"("clinic_id");

-- CreateIndex
CREATE INDEX "openid_link_clinic_id_person_id_idx" ON "openid_link"("clinic_id", "person_id");

-- CreateIndex
CREATE UNIQUE INDEX "openid_attempt_clinic_id_state_sha256_key" ON "openid_attempt"("clinic_id", "state_sha256");

-- AddForeignKey
ALTER TABLE "openid_provider" ADD CONSTRAINT "openid_provider_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_provider" ADD CONSTRAINT "openid_provider_clinic_id_changed_by_id_fkey" FOREIGN KEY ("clinic_id", "changed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_link" ADD CONSTRAINT "openid_link_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_link" ADD CONSTRAINT "openid_link_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_link" ADD CONSTRAINT "openid_link_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_link" ADD CONSTRAINT "openid_link_clinic_id_ended_by_id_fkey" FOREIGN KEY ("clinic_id", "ended_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_attempt" ADD CONSTRAINT "openid_attempt_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "openid_attempt" ADD CONSTRAINT "openid_attempt_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- One subject of a provider is one person of the clinic at most, and a person has one link at a time.
create unique index openid_link_clinic_id_issuer_subject_key on openid_link (clinic_id, issuer, subject)
  where ended_at is null and subject is not null;
create unique index openid_link_clinic_id_person_id_key on openid_link (clinic_id, person_id) where ended_at is null;

alter table openid_provider
  -- Plain http is for a provider on this very machine, and the service must be told so too (OPENID_LOOPBACK_HTTP).
  add constraint openid_provider_issuer check (length(issuer) <= 400 and issuer !~ '[?#@[:space:]]'
    and (issuer like 'https://%' or issuer ~ '^http://(localhost|127\.0\.0\.1|\[::1\])(:[0-9]+)?(/|$)')),
  add constraint openid_provider_texts check (length(client_id) between 1 and 200 and length(button_name) between 1 and 60),
  add constraint openid_provider_secret_encrypted check (is_encrypted(client_secret)),
  add constraint openid_provider_version_counts check (version >= 1);
alter table openid_link
  add constraint openid_link_how check (how in ('self', 'invited')),
  add constraint openid_link_subject check (length(subject) between 1 and 255),
  add constraint openid_link_linked check ((subject is null) = (linked_at is null)),
  add constraint openid_link_invited check ((how = 'invited') = (invited_until is not null) and (how = 'invited' or subject is not null)),
  add constraint openid_link_in_time check (linked_at >= created_at and (invited_until is null or linked_at <= invited_until)),
  add constraint openid_link_ended check ((ended_at is null) = (ended_by_id is null));
alter table openid_attempt
  add constraint openid_attempt_purpose check (purpose in ('sign_in', 'link', 'sign')),
  add constraint openid_attempt_of check ((purpose = 'sign_in') = (person_id is null) and (person_id is null) = (family_id is null)),
  add constraint openid_attempt_hashes check (state_sha256 ~ '^[0-9a-f]{64}$' and browser_sha256 ~ '^[0-9a-f]{64}$'),
  add constraint openid_attempt_ten_minutes check (expires_at > begun_at and expires_at <= begun_at + interval '10 minutes'),
  add constraint openid_attempt_used_in_time check (used_at is null or used_at < expires_at),
  add constraint openid_attempt_keeps_no_secret check ((used_at is null) = (kept is not null)),
  add constraint openid_attempt_kept_encrypted check (is_encrypted(kept)),
  add constraint openid_attempt_proves_to_sign check ((proven_at is null) = (proven_until is null)
    and (proven_at is null or (purpose = 'sign' and used_at is not null and proven_until <= proven_at + interval '3 minutes'))),
  add constraint openid_attempt_spent_once_proven check (spent_at is null or (proven_at is not null and spent_at < proven_until));

-- A link names its subject once and ends once; an attempt is used once, proves once and is spent once.
create trigger openid_link_once before update on openid_link for each row
  when (old.ended_at is not null
    or (old.subject is not null and (new.subject, new.linked_at) is distinct from (old.subject, old.linked_at)))
  execute function refuse_rewrite();
create trigger openid_attempt_once before update on openid_attempt for each row
  when ((old.used_at is not null and (new.used_at, new.kept) is distinct from (old.used_at, old.kept))
    or (old.proven_at is not null and (new.proven_at, new.proven_until) is distinct from (old.proven_at, old.proven_until))
    or old.spent_at is not null)
  execute function refuse_rewrite();

-- R10, R12: kept, each clinic its own.
do $$
declare t text;
begin
  foreach t in array array['openid_provider', 'openid_link', 'openid_attempt'] loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('alter table %I enable row level security', t);
    execute format($p$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$p$, t || '_own_clinic', t);
  end loop;
end
$$;
grant select, insert on openid_provider, openid_link, openid_attempt to castbook_app;
grant update (issuer, client_id, client_secret, button_name, active, version, changed_at, changed_by_id) on openid_provider to castbook_app;
grant update (subject, linked_at, ended_at, ended_by_id) on openid_link to castbook_app;
grant update (used_at, kept, proven_at, proven_until, spent_at) on openid_attempt to castbook_app;

/* The clinic behind a sign-in link, where its people may sign in by a provider: before anybody is known. */
create function openid_clinic(prefix text) returns uuid
language sql stable security definer set search_path = public, pg_temp as $$
  select c.id from clinic c join openid_provider p on p.clinic_id = c.id where c.number_prefix = upper(prefix) and p.active
$$;
revoke all on function openid_clinic(text) from public;
grant execute on function openid_clinic(text) to castbook_app;

-- A sign-in by the organisation is a sign-in like any other, and says so.
alter table session drop constraint session_how_word;
alter table session add constraint session_how_word check (how in ('password', 'pin', 'openid'));
