-- How patients are reached, what was said, and every copy of it is kept encrypted (45 CFR 164.312(a)(2)(iv)). Older program may run: no.

-- ── Which keys the record is under ──────────────────────────────────────────────
-- CreateTable
CREATE TABLE "column_key" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "key_id" TEXT NOT NULL,
    "check_value" TEXT NOT NULL,
    "first_used_at" TIMESTAMPTZ(3) NOT NULL,
    "retired_at" TIMESTAMPTZ(3),

    CONSTRAINT "column_key_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "column_key_clinic_id_key_id_key" ON "column_key"("clinic_id", "key_id");

-- AddForeignKey
ALTER TABLE "column_key" ADD CONSTRAINT "column_key_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AlterTable
ALTER TABLE "patient" ADD COLUMN     "phone_digests" TEXT[] DEFAULT ARRAY[]::TEXT[];

alter table column_key
  add constraint column_key_name check (key_id ~ '^[A-Za-z0-9_-]{1,32}$'),
  add constraint column_key_check check (check_value ~ '^[0-9a-f]{16}$');
create trigger column_key_kept before delete on column_key for each row execute function refuse_change();
create trigger column_key_not_emptied before truncate on column_key for each statement execute function refuse_change();
create trigger column_key_is_one before update on column_key for each row
  when ((new.clinic_id, new.id, new.key_id, new.check_value, new.first_used_at)
    is distinct from (old.clinic_id, old.id, old.key_id, old.check_value, old.first_used_at))
  execute function refuse_rewrite();
alter table column_key enable row level security;
create policy column_key_own_clinic on column_key for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
-- Written when the service starts and when keys are changed, by the owner only.
grant select on column_key to castbook_app;

-- What a service must be given to read the record, in whatever clinic: names and checks, nothing of a clinic's.
create function column_keys_in_use() returns table (key_id text, check_value text)
language sql stable security definer set search_path = public, pg_temp as $$
  select distinct k.key_id, k.check_value from column_key k where k.retired_at is null
$$;
revoke all on function column_keys_in_use() from public;
grant execute on function column_keys_in_use() to castbook_app;

-- ── What is kept encrypted is never kept otherwise ──────────────────────────────
-- The form of src/store/columnCipher.ts. That it opens, only who has the key can tell.
create function is_encrypted(kept text) returns boolean
language sql immutable parallel safe set search_path = pg_catalog, pg_temp as $$
  select kept ~ '^enc1\.[A-Za-z0-9_-]{1,32}\.[A-Za-z0-9_-]{16}\.[A-Za-z0-9_-]{22,}$'
$$;

-- Not valid: what stands there already is encrypted when the service starts, which has the keys,
-- and which then has each of these validated. What is written from now on is held to them.
alter table patient
  alter column phone_digests set not null,
  add constraint patient_phone_encrypted check (is_encrypted(phone)) not valid,
  add constraint patient_address_encrypted check (is_encrypted(address)) not valid,
  add constraint patient_phone_found check (phone is not null or phone_digests = '{}') not valid;
alter table appointment
  add constraint appointment_note_encrypted check (is_encrypted(note)) not valid,
  add constraint appointment_why_encrypted check (is_encrypted(why)) not valid;
alter table recall_call add constraint recall_call_note_encrypted check (is_encrypted(note)) not valid;
alter table event add constraint event_sealed_encrypted
  check (jsonb_typeof(sealed) = 'string' and is_encrypted(sealed #>> '{}')) not valid;
alter table idempotency_key
  add constraint idempotency_key_answer_encrypted
    check (jsonb_typeof(answer) = 'string' and is_encrypted(answer #>> '{}')) not valid,
  add constraint idempotency_key_fingerprint_encrypted check (is_encrypted(fingerprint)) not valid;
-- Base64 takes a third more room.
alter table long_work_piece
  drop constraint long_work_piece_bounded,
  add constraint long_work_piece_bounded check (seq > 0
    and octet_length(body) <= 6291456 and octet_length(body_without_contact) <= 4194304),
  add constraint long_work_piece_body_encrypted check (is_encrypted(body)) not valid;
grant update (phone_digests) on patient to castbook_app;

-- ── R10: a record that is never rewritten may be encrypted anew, and nothing else of it ──
-- By the owner only: castbook_app may update none of these tables. What is encrypted stays so.
create function is_owner_of(which oid) returns boolean
language sql stable set search_path = pg_catalog, pg_temp as $$
  select pg_has_role(current_user, relowner, 'USAGE') from pg_class where oid = which
$$;
create function only_encrypted_anew() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  c text;
  before jsonb := to_jsonb(old);
  after jsonb := to_jsonb(new);
begin
  foreach c in array tg_argv loop
    if after->>c is distinct from before->>c and not (before->>c is not null and coalesce(is_encrypted(after->>c), false)) then
      perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
    end if;
    before := before - c;
    after := after - c;
  end loop;
  if before is distinct from after or not is_owner_of(tg_relid) then
    perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
  end if;
  return new;
end
$$;
do $$
declare
  r record;
begin
  for r in select * from (values
      ('event', 'sealed'), ('idempotency_key', '''answer'', ''fingerprint'''), ('recall_call', 'note'), ('long_work_piece', 'body')
    ) as t (name, columns)
  loop
    execute format('drop trigger %I on %I', r.name || '_not_rewritten', r.name);
    execute format('create trigger %I before update on %I for each row execute function only_encrypted_anew(%s)',
      r.name || '_not_rewritten', r.name, case when r.columns like '''%' then r.columns else quote_literal(r.columns) end);
  end loop;
end
$$;
-- A settled appointment is settled once; only the owner may encrypt its words anew.
drop trigger appointment_settled_once on appointment;
create trigger appointment_settled_once before update on appointment for each row
  when (old.state <> 'booked' and not (old.state in ('came', 'did_not_come') and new.state in ('came', 'did_not_come'))
    and not (is_owner_of('appointment'::regclass)
      and to_jsonb(old) - 'note' - 'why' = to_jsonb(new) - 'note' - 'why'
      and (old.note is null) = (new.note is null) and (old.why is null) = (new.why is null)))
  execute function refuse_rewrite();
