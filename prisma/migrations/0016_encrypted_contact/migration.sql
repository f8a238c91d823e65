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
-- The same of values by path, each encrypted by itself; what an erasure took says by which (0015_retention).
create function is_encrypted_each(kept jsonb) returns boolean
language sql immutable parallel safe set search_path = public, pg_temp as $$
  select case jsonb_typeof(kept) when 'object' then not exists (
    select 1 from jsonb_each(kept) v where not is_encrypted(v.value #>> '{}') and not v.value ? 'erased') else kept is null end
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
  add constraint appointment_why_encrypted check (why = '' or is_encrypted(why)) not valid;
alter table recall_call add constraint recall_call_note_encrypted check (is_encrypted(note)) not valid;
alter table event add constraint event_sealed_encrypted check (is_encrypted_each(sealed)) not valid;
alter table idempotency_key
  add constraint idempotency_key_answer_encrypted
    check (status = 410 or (jsonb_typeof(answer) = 'string' and is_encrypted(answer #>> '{}'))) not valid,
  add constraint idempotency_key_fingerprint_encrypted
    check ((status = 410 and fingerprint = '') or is_encrypted(fingerprint)) not valid;
-- Base64 takes a third more room.
alter table long_work_piece
  drop constraint long_work_piece_bounded,
  add constraint long_work_piece_bounded check (seq > 0
    and octet_length(body) <= 6291456 and octet_length(body_without_contact) <= 4194304),
  add constraint long_work_piece_body_encrypted check (body = '' or is_encrypted(body)) not valid;
grant update (phone_digests) on patient to castbook_app;

-- ── R10: a record that is never rewritten may be encrypted anew, and nothing else of it ──
-- By the owner only: castbook_app may update none of these tables. What is encrypted stays so.
/* Whether a value was encrypted anew, and nothing else: what was erased stays so. */
create function is_encrypted_anew(was jsonb, now jsonb) returns boolean
language sql immutable set search_path = public, pg_temp as $$
  select coalesce(case when was = 'null' then false
    when jsonb_typeof(now) <> 'object' then is_encrypted(now #>> '{}')
    when jsonb_typeof(was) <> 'object' or not is_encrypted_each(now) then false
    else (select jsonb_object_agg(key, case when value ? 'erased' then value end) from jsonb_each(was))
      = (select jsonb_object_agg(key, case when value ? 'erased' then value end) from jsonb_each(now)) end, false)
$$;
create function only_encrypted_anew() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  c text;
  before jsonb := to_jsonb(old);
  after jsonb := to_jsonb(new);
begin
  if erasure_under_way() then return new; end if;
  foreach c in array tg_argv loop
    if after->c is distinct from before->c and not is_encrypted_anew(before->c, after->c) then
      perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
    end if;
    before := before - c;
    after := after - c;
  end loop;
  if before is distinct from after or new is not distinct from old or not is_owner_of(tg_relid) then
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
  execute function refuse_rewrite_but_erasure();

-- ── R10: what is encrypted is erased without being read ─────────────────────────
-- Of kept answers those of acts on the patient go: an act's events have its person and time. Of
-- results of long work all that gather many patients' rows, made until then: they can be asked
-- for again, and who is in them only the holder of the keys could tell.
create function erase_copies(erasure_id uuid, whose uuid, whom uuid, orders uuid[], sockets uuid[]) returns jsonb
language plpgsql set search_path = public, pg_temp as $$
declare
  answers integer;
  results integer;
begin
  update idempotency_key k set answer = '{"erased": true}', status = 410, fingerprint = ''
    where k.clinic_id = whose and k.status <> 410 and exists (
      select 1 from event e where e.clinic_id = whose and e.person_id = k.person_id and e.at = k.created_at
        and (e.order_id = any (orders) or e.subject_id = whom or e.subject_id = any (sockets)
          or e.subject_id in (select id from appointment where clinic_id = whose and patient_id = whom)
          or e.subject_id in (select id from correction_request where clinic_id = whose and patient_id = whom)
          or e.subject_id in (select id from correction where clinic_id = whose and patient_id = whom)
          or e.subject_id in (select id from legal_hold where clinic_id = whose and (patient_id = whom or order_id = any (orders)))));
  get diagnostics answers = row_count;
  update long_work w set erasure_id = erase_copies.erasure_id, asked = asked - 'reason' - 'handedTo'
    where w.clinic_id = whose and w.erasure_id is null and (w.asked ->> 'patientId' = whom::text
      or (w.kind in ('recall_of_many', 'record_export') and exists (
        select 1 from long_work_piece p where p.clinic_id = w.clinic_id and p.long_work_id = w.id)));
  get diagnostics results = row_count;
  update long_work_piece p set body = '', body_without_contact = null
    where p.clinic_id = whose and p.long_work_id in (
      select id from long_work w where w.clinic_id = whose and w.erasure_id = erase_copies.erasure_id);
  return jsonb_build_object('answers', answers, 'results', results);
end
$$;
revoke all on function erase_copies(uuid, uuid, uuid, uuid[], uuid[]) from public;

