-- How long a record is kept, what holds it, what a patient may ask of it, and the one way anything is erased (R10). Older program may run: no.
--
-- An older program may not run: it reads a date of birth where there may be none.
-- AlterTable
ALTER TABLE "clinic" ADD COLUMN     "minors_until_age" INTEGER;

-- AlterTable
ALTER TABLE "patient" ADD COLUMN     "identity_erasure_id" UUID,
ALTER COLUMN "birth_date" DROP NOT NULL;

-- AlterTable
ALTER TABLE "long_work" ADD COLUMN     "erasure_id" UUID;

-- AlterTable
ALTER TABLE "photo" ALTER COLUMN "bytes" DROP NOT NULL;

-- CreateTable
CREATE TABLE "legal_hold" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "patient_id" UUID,
    "order_id" UUID,
    "part_id" UUID,
    "lot" TEXT,
    "reason" TEXT NOT NULL,
    "reference" TEXT NOT NULL,
    "placed_at" TIMESTAMPTZ(3) NOT NULL,
    "placed_by_id" UUID NOT NULL,
    "lifted_at" TIMESTAMPTZ(3),
    "lifted_by_id" UUID,
    "lift_reason" TEXT,

    CONSTRAINT "legal_hold_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "correction_request" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "asked_on" DATE NOT NULL,
    "said" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,
    "decision" TEXT,
    "denial_ground" TEXT,
    "decision_reason" TEXT,
    "decided_at" TIMESTAMPTZ(3),
    "decided_by_id" UUID,
    "disagreement" TEXT,
    "disagreement_at" TIMESTAMPTZ(3),
    "disagreement_by_id" UUID,

    CONSTRAINT "correction_request_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "correction" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "order_id" UUID,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "request_id" UUID,
    "wrong" TEXT NOT NULL,
    "right" TEXT NOT NULL,
    "why" TEXT NOT NULL,
    "corrected_at" TIMESTAMPTZ(3) NOT NULL,
    "corrected_by_id" UUID NOT NULL,
    "signature_id" UUID NOT NULL,

    CONSTRAINT "correction_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "erasure" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "what" TEXT[],
    "why" TEXT NOT NULL,
    "legal_basis" TEXT NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "asked_by_id" UUID NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'asked',
    "settled_at" TIMESTAMPTZ(3),
    "settled_by_id" UUID,
    "signature_id" UUID,
    "erased" JSONB,

    CONSTRAINT "erasure_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "legal_hold_clinic_id_patient_id_idx" ON "legal_hold"("clinic_id", "patient_id");

-- CreateIndex
CREATE INDEX "legal_hold_clinic_id_order_id_idx" ON "legal_hold"("clinic_id", "order_id");

-- CreateIndex
CREATE INDEX "legal_hold_clinic_id_part_id_lot_idx" ON "legal_hold"("clinic_id", "part_id", "lot");

-- CreateIndex
CREATE INDEX "correction_request_clinic_id_patient_id_idx" ON "correction_request"("clinic_id", "patient_id");

-- CreateIndex
CREATE INDEX "correction_clinic_id_patient_id_idx" ON "correction"("clinic_id", "patient_id");

-- CreateIndex
CREATE INDEX "correction_clinic_id_order_id_idx" ON "correction"("clinic_id", "order_id");

-- CreateIndex
CREATE INDEX "correction_clinic_id_subject_id_idx" ON "correction"("clinic_id", "subject_id");

-- CreateIndex
CREATE INDEX "erasure_clinic_id_patient_id_idx" ON "erasure"("clinic_id", "patient_id");

-- AddForeignKey
ALTER TABLE "patient" ADD CONSTRAINT "patient_clinic_id_identity_erasure_id_fkey" FOREIGN KEY ("clinic_id", "identity_erasure_id") REFERENCES "erasure"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_part_id_fkey" FOREIGN KEY ("clinic_id", "part_id") REFERENCES "part"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_placed_by_id_fkey" FOREIGN KEY ("clinic_id", "placed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "legal_hold" ADD CONSTRAINT "legal_hold_clinic_id_lifted_by_id_fkey" FOREIGN KEY ("clinic_id", "lifted_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction_request" ADD CONSTRAINT "correction_request_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction_request" ADD CONSTRAINT "correction_request_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction_request" ADD CONSTRAINT "correction_request_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction_request" ADD CONSTRAINT "correction_request_clinic_id_decided_by_id_fkey" FOREIGN KEY ("clinic_id", "decided_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction_request" ADD CONSTRAINT "correction_request_clinic_id_disagreement_by_id_fkey" FOREIGN KEY ("clinic_id", "disagreement_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_request_id_fkey" FOREIGN KEY ("clinic_id", "request_id") REFERENCES "correction_request"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_corrected_by_id_fkey" FOREIGN KEY ("clinic_id", "corrected_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "correction" ADD CONSTRAINT "correction_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "erasure" ADD CONSTRAINT "erasure_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "erasure" ADD CONSTRAINT "erasure_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "erasure" ADD CONSTRAINT "erasure_clinic_id_asked_by_id_fkey" FOREIGN KEY ("clinic_id", "asked_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "erasure" ADD CONSTRAINT "erasure_clinic_id_settled_by_id_fkey" FOREIGN KEY ("clinic_id", "settled_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "erasure" ADD CONSTRAINT "erasure_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "long_work" ADD CONSTRAINT "long_work_clinic_id_erasure_id_fkey" FOREIGN KEY ("clinic_id", "erasure_id") REFERENCES "erasure"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- ── Words and shapes (a test compares them with src/domain) ─────────────────────
alter table long_work drop constraint long_work_kind_word;
alter table long_work add constraint long_work_kind_word check (kind in ('recall_of_many', 'record_export', 'parts_import', 'patient_export'));
alter table signature drop constraint signature_meaning_word;
alter table signature add constraint signature_meaning_word check (meaning in ('fit_accepted', 'check_fitting_skipped',
  'finding_accepted_as_is', 'alignment_difference_accepted', 'mass_near_rating_acknowledged', 'delivery_released',
  'service_released', 'layup_approved', 'correction_made', 'erasure_confirmed'));
alter table legal_hold add constraint legal_hold_subject_kind_word check (subject_kind in ('patient', 'order', 'part_lot'));
alter table correction_request add constraint correction_request_decision_word check (decision in ('accepted', 'denied'));
alter table correction_request add constraint correction_request_denial_ground_word check (denial_ground in ('accurate_and_complete', 'not_made_here', 'not_in_the_record', 'not_open_to_access'));
alter table correction add constraint correction_subject_kind_word check (subject_kind in ('body_mass', 'cast', 'measure_set', 'volume_decision', 'operation_record', 'layup', 'resin_weighing', 'torque_confirmation', 'lock_check', 'alignment', 'fitting', 'finding', 'mass_acknowledgement', 'delivery', 'service_visit', 'appointment'));
alter table erasure add constraint erasure_what_word check (what <@ array['phone', 'address', 'desk_notes', 'identity']);
alter table erasure add constraint erasure_state_word check (state in ('asked', 'carried_out', 'withdrawn'));

alter table clinic add constraint clinic_minors_until_age check (minors_until_age between 14 and 25);
alter table patient
  add constraint patient_identity_stays check (identity_erasure_id is not null
    or (birth_date is not null and given_name <> '' and family_name <> ''));
alter table legal_hold
  add constraint legal_hold_of_one check (
    (subject_kind = 'patient') = (patient_id is not null) and (subject_kind = 'order') = (order_id is not null)
    and (subject_kind = 'part_lot') = (part_id is not null) and (part_id is null) = (lot is null)),
  add constraint legal_hold_lifted check (
    (lifted_at is null) = (lifted_by_id is null) and (lifted_at is null) = (lift_reason is null));
create unique index legal_hold_one_of_a_reference on legal_hold (clinic_id, subject_kind,
  coalesce(patient_id, order_id, part_id), coalesce(lot, ''), reference) where lifted_at is null;
alter table correction_request
  add constraint correction_request_decided check (
    (decision is null) = (decided_at is null) and (decision is null) = (decided_by_id is null)
    and (decision is null) = (decision_reason is null) and (decision is not distinct from 'denied') = (denial_ground is not null)),
  add constraint correction_request_disagreed check (
    (disagreement is null) = (disagreement_at is null) and (disagreement is null) = (disagreement_by_id is null)
    and (disagreement is null or decision = 'denied'));
alter table erasure
  add constraint erasure_of_something check (cardinality(what) >= 1),
  add constraint erasure_settled check (
    (state = 'asked') = (settled_at is null) and (settled_at is null) = (settled_by_id is null)
    and (state = 'carried_out') = (signature_id is not null) and (state = 'carried_out') = (erased is not null)),
  add constraint erasure_by_two check (state <> 'carried_out' or settled_by_id <> asked_by_id);
create unique index erasure_one_open on erasure (clinic_id, patient_id) where state = 'asked';
alter table photo drop constraint photo_size, drop constraint photo_is_its_sha256;
alter table photo
  add constraint photo_size check (bytes is null or octet_length(bytes) between 1 and 1048576),
  add constraint photo_is_its_sha256 check (bytes is null or sha256 = encode(sha256(bytes), 'hex'));

-- ── R10, R12: kept, each clinic its own ─────────────────────────────────────────
do $$
declare t text;
begin
  foreach t in array array['legal_hold', 'correction_request', 'correction', 'erasure'] loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('create trigger %I before insert on %I for each row execute function only_own_clinic()', t || '_050_own_clinic', t);
    execute format('alter table %I enable row level security', t);
    execute format($policy$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$policy$, t || '_own_clinic', t);
    execute format('grant select on %I to castbook_app', t);
  end loop;
end
$$;
grant insert on legal_hold, correction_request, correction to castbook_app;
-- Nobody enters an erasure that is settled already.
grant insert (clinic_id, id, patient_id, what, why, legal_basis, asked_at, asked_by_id) on erasure to castbook_app;
grant update (minors_until_age) on clinic to castbook_app;
grant update (lifted_at, lifted_by_id, lift_reason) on legal_hold to castbook_app;
grant update (decision, denial_ground, decision_reason, decided_at, decided_by_id, disagreement, disagreement_at, disagreement_by_id)
  on correction_request to castbook_app;
grant update (state, settled_at, settled_by_id, signature_id) on erasure to castbook_app;

-- ── R10: the only hand that empties a record is an erasure while it is carried out ──

/* Whether an erasure is being carried out by this very statement's transaction; the application's role never is that hand. */
create function erasure_under_way() returns boolean
language sql stable set search_path = public, pg_temp as $$
  select current_user <> 'castbook_app' and exists (
    select 1 from erasure where id = nullif(current_setting('app.erasure', true), '')::uuid and state = 'asked')
$$;
create function refuse_change_but_erasure() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if erasure_under_way() then return new; end if;
  perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
  return null;
end
$$;
create function refuse_rewrite_but_erasure() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if erasure_under_way() then return new; end if;
  perform refuse('R1002', 'record-is-final', jsonb_build_object('table', tg_table_name));
  return null;
end
$$;
do $$
declare t text;
begin
  foreach t in array array['event', 'idempotency_key', 'photo', 'signature', 'delivery', 'long_work_piece', 'recall_call'] loop
    execute format('drop trigger %I on %I', t || '_not_rewritten', t);
    execute format('create trigger %I before update on %I for each row execute function refuse_change_but_erasure()', t || '_not_rewritten', t);
  end loop;
  execute 'create trigger correction_not_rewritten before update on correction for each row execute function refuse_change_but_erasure()';
end
$$;
/* Of an event the sealed values alone may go: what is chained stays, whoever writes. */
create function event_keeps_its_leaf() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if to_jsonb(new) - 'sealed' is distinct from to_jsonb(old) - 'sealed' then
    perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
  end if;
  return new;
end
$$;
create trigger event_keeps_its_leaf before update on event for each row execute function event_keeps_its_leaf();
drop trigger appointment_settled_once on appointment;
create trigger appointment_settled_once before update on appointment for each row
  when (old.state <> 'booked' and not (old.state in ('came', 'did_not_come') and new.state in ('came', 'did_not_come')))
  execute function refuse_rewrite_but_erasure();
drop trigger long_work_ended_once on long_work;
create trigger long_work_ended_once before update on long_work for each row
  when (old.ended_at is not null) execute function refuse_rewrite_but_erasure();
create trigger legal_hold_lifted_once before update on legal_hold for each row
  when (old.lifted_at is not null) execute function refuse_rewrite_but_erasure();
create trigger correction_request_decided_once before update on correction_request for each row
  when ((old.decision is not null and (new.decision, new.denial_ground, new.decision_reason, new.decided_at, new.decided_by_id)
      is distinct from (old.decision, old.denial_ground, old.decision_reason, old.decided_at, old.decided_by_id))
    or (old.disagreement is not null and (new.disagreement, new.disagreement_at, new.disagreement_by_id)
      is distinct from (old.disagreement, old.disagreement_at, old.disagreement_by_id)))
  execute function refuse_rewrite_but_erasure();

-- ── Whose a record is ───────────────────────────────────────────────────────────

/* The patient and the order of a record that can be corrected; no row where there is none of that kind. */
create function patient_of_record(whose uuid, of_kind text, record uuid) returns table (patient_id uuid, order_id uuid)
language sql stable set search_path = public, pg_temp as $$
  with found as (
    select null::uuid as order_id, b.patient_id from body_mass b where of_kind = 'body_mass' and b.clinic_id = whose and b.id = record
    union all select a.order_id, a.patient_id from appointment a where of_kind = 'appointment' and a.clinic_id = whose and a.id = record
    union all select x.order_id, null from limb_cast x where of_kind = 'cast' and x.clinic_id = whose and x.id = record
    union all select x.order_id, null from measure_set x where of_kind = 'measure_set' and x.clinic_id = whose and x.id = record
    union all select x.order_id, null from volume_decision x where of_kind = 'volume_decision' and x.clinic_id = whose and x.id = record
    union all select x.order_id, null from mass_acknowledgement x where of_kind = 'mass_acknowledgement' and x.clinic_id = whose and x.id = record
    union all select x.order_id, null from delivery x where of_kind = 'delivery' and x.clinic_id = whose and x.id = record
    union all select x.order_id, null from service_visit x where of_kind = 'service_visit' and x.clinic_id = whose and x.id = record
    union all
    select s.order_id, null from socket s where s.clinic_id = whose and s.id = (case of_kind
      when 'layup' then (select x.socket_id from layup x where x.clinic_id = whose and x.id = record)
      when 'resin_weighing' then (select x.socket_id from resin_weighing x where x.clinic_id = whose and x.id = record)
      when 'lock_check' then (select x.socket_id from lock_check x where x.clinic_id = whose and x.id = record)
      when 'alignment' then (select x.socket_id from alignment x where x.clinic_id = whose and x.id = record)
      when 'fitting' then (select x.socket_id from fitting x where x.clinic_id = whose and x.id = record)
      when 'finding' then (select x.socket_id from finding x where x.clinic_id = whose and x.id = record)
      when 'operation_record' then (select o.socket_id from operation_record x
        join operation o on o.clinic_id = x.clinic_id and o.id = x.operation_id where x.clinic_id = whose and x.id = record)
      when 'torque_confirmation' then (select j.socket_id from torque_confirmation x
        join joint j on j.clinic_id = x.clinic_id and j.id = x.joint_id where x.clinic_id = whose and x.id = record)
    end))
  select coalesce(f.patient_id, o.patient_id), f.order_id
  from found f left join fabrication_order o on o.clinic_id = whose and o.id = f.order_id
$$;

create function correction_is_of_its_patient() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if not exists (select 1 from patient_of_record(new.clinic_id, new.subject_kind, new.subject_id) r
      where r.patient_id = new.patient_id and r.order_id is not distinct from new.order_id) then
    perform refuse('R1011', 'correction-of-nothing', jsonb_build_object('kind', new.subject_kind));
  end if;
  if new.request_id is not null and not exists (select 1 from correction_request q where q.clinic_id = new.clinic_id
      and q.id = new.request_id and q.patient_id = new.patient_id and q.decision = 'accepted') then
    perform refuse('R1012', 'correction-request-not-accepted', '{}'::jsonb);
  end if;
  if not exists (select 1 from signature s where s.clinic_id = new.clinic_id and s.id = new.signature_id
      and s.meaning = 'correction_made' and s.subject_id = new.id and s.person_id = new.corrected_by_id) then
    perform refuse('R1013', 'correction-not-signed', '{}'::jsonb);
  end if;
  return new;
end
$$;
create trigger correction_100_is_of_its_patient before insert on correction for each row execute function correction_is_of_its_patient();

-- ── The clock of retention (a test compares it with src/domain/retention.ts) ────

/* Whether an event is an entry into the record of care: who only looks at it, or hands it out, does not begin the years anew. */
create function is_activity(kind text) returns boolean
language sql immutable set search_path = public, pg_temp as $$
  select kind not like '%.read' and kind <> all (array['record.verified', 'patient.export_asked', 'patient.record_exported'])
$$;

/* When a patient's record was last worked on, as days at the clinic, and how many orders are still under way. */
create function activity_of(whose uuid, whom uuid)
returns table (last_delivery date, last_visit date, last_entry date, orders_open integer)
language sql stable set search_path = public, pg_temp as $$
  with zone as (select time_zone as z from clinic where id = whose),
  orders as (select id, stage, delivered_at from fabrication_order where clinic_id = whose and patient_id = whom)
  select
    (select max((d.delivered_at at time zone z)::date) from delivery d join orders o on o.id = d.order_id, zone where d.clinic_id = whose),
    (select max((coalesce(v.closed_at, v.opened_at) at time zone z)::date) from service_visit v join orders o on o.id = v.order_id, zone
      where v.clinic_id = whose),
    greatest(
      (select max(last.day) from orders o, zone, lateral (
        select (e.at at time zone z)::date as day from event e
        where e.clinic_id = whose and e.order_id = o.id and is_activity(e.kind) order by e.seq desc limit 1) last),
      (select (e.at at time zone z)::date from event e, zone
        where e.clinic_id = whose and e.subject_id = whom and is_activity(e.kind) order by e.seq desc limit 1),
      (select max((a.starts_at at time zone z)::date) from appointment a, zone
        where a.clinic_id = whose and a.patient_id = whom and a.state in ('booked', 'came')),
      (select (p.created_at at time zone z)::date from patient p, zone where p.clinic_id = whose and p.id = whom)),
    (select count(*)::integer from orders where stage not in ('delivered', 'cancelled'))
$$;

/* The first day on which who the patient is may be erased; null while an order is under way. */
create function kept_until(whose uuid, whom uuid) returns date
language sql stable set search_path = public, pg_temp as $$
  select case when a.orders_open = 0 then greatest(
      (greatest(a.last_delivery, a.last_visit, a.last_entry) + make_interval(years => c.retention_years))::date,
      (p.birth_date + make_interval(years => c.minors_until_age + c.retention_years))::date) end
  from clinic c join patient p on p.clinic_id = c.id and p.id = whom, activity_of(whose, whom) a where c.id = whose
$$;

-- ── Holds ───────────────────────────────────────────────────────────────────────

/* The holds in force that concern a patient: on the patient, on an order, on a lot of which a piece ever was in a socket of theirs. */
create function holds_on(whose uuid, whom uuid) returns setof legal_hold
language sql stable set search_path = public, pg_temp as $$
  select h.* from legal_hold h where h.clinic_id = whose and h.lifted_at is null and (
    h.patient_id = whom
    or h.order_id in (select id from fabrication_order where clinic_id = whose and patient_id = whom)
    or (h.part_id is not null and exists (
      select 1 from fabrication_order o
      join socket s on s.clinic_id = o.clinic_id and s.order_id = o.id
      join place p on p.clinic_id = s.clinic_id and p.socket_id = s.id
      join move m on m.clinic_id = p.clinic_id and m.to_place_id = p.id
      join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
      where o.clinic_id = whose and o.patient_id = whom and i.part_id = h.part_id and i.lot = h.lot)))
$$;

-- ── Erasure ─────────────────────────────────────────────────────────────────────
create function erases(what text[], subject text, path text) returns boolean
language sql immutable set search_path = public, pg_temp as $$
  select case when 'identity' = any (what) then true
    when subject = 'patient' then regexp_replace(path, '^(before|after)\.', '') = any (what)
    when subject in ('appointment', 'socket') then 'desk_notes' = any (what)
    else false end
$$;

/* What stands against an erasure, whenever it is asked for or carried out: a hold, and for who the patient is the years. */
create function erasure_is_allowed(whose uuid, whom uuid, what text[]) returns void
language plpgsql stable security definer set search_path = public, pg_temp as $$
declare
  hold legal_hold;
  until date;
begin
  select * into hold from holds_on(whose, whom) order by placed_at limit 1;
  if found then
    perform refuse('R1014', 'record-on-hold', jsonb_build_object('reference', hold.reference, 'count',
      (select count(*) from holds_on(whose, whom))));
  end if;
  if 'identity' = any (what) then
    until := kept_until(whose, whom);
    -- By the database's own clock: no caller says that the years are over.
    if until is null or until > (select (clock_timestamp() at time zone time_zone)::date from clinic where id = whose) then
      perform refuse('R1015', 'retention-not-over', jsonb_build_object('keptUntil', until));
    end if;
  end if;
end
$$;
create function erasure_is_asked() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform erasure_is_allowed(new.clinic_id, new.patient_id, new.what);
  return new;
end
$$;
create trigger erasure_100_is_asked before insert on erasure for each row execute function erasure_is_asked();

/* Carries it out in the very statement that says so: there is no erasure that was confirmed and not done, nor one done and not confirmed. */
create function erasure_is_carried_out() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  identity constant boolean := 'identity' = any (old.what);
  whom patient;
  orders uuid[];
  sockets uuid[];
  n integer;
  done jsonb := '{}'::jsonb;
begin
  if old.state <> 'asked' then
    perform refuse('R1002', 'record-is-final', jsonb_build_object('table', tg_table_name));
  end if;
  new.erased := null;
  if new.state <> 'carried_out' then return new; end if;
  if not exists (select 1 from signature s where s.clinic_id = new.clinic_id and s.id = new.signature_id
      and s.meaning = 'erasure_confirmed' and s.subject_id = new.id and s.person_id = new.settled_by_id)
    or new.settled_by_id = old.asked_by_id then
    perform refuse('R1016', 'erasure-not-confirmed', '{}'::jsonb);
  end if;
  -- Who places a hold waits, or is waited for; the same for who writes on the patient.
  perform one_hold_or_erasure_at_a_time(old.clinic_id);
  select * into whom from patient where clinic_id = old.clinic_id and id = old.patient_id for update;
  perform erasure_is_allowed(old.clinic_id, old.patient_id, old.what);
  orders := array(select id from fabrication_order where clinic_id = old.clinic_id and patient_id = whom.id);
  sockets := array(select id from socket where clinic_id = old.clinic_id and order_id = any (orders));
  perform set_config('app.erasure', old.id::text, true);

  update event e set sealed = (
      select jsonb_object_agg(v.key, case when not v.value ? 'erased' and erases(old.what, e.subject_kind, v.key)
        then jsonb_build_object('erased', old.id) else v.value end)
      from jsonb_each(e.sealed) v)
    where e.clinic_id = old.clinic_id and e.sealed is not null and e.subject_id = any (array(
        select whom.id
        union all select id from appointment where clinic_id = old.clinic_id and patient_id = whom.id
        union all select unnest(sockets)
        union all select id from correction_request where clinic_id = old.clinic_id and patient_id = whom.id
        union all select id from correction where clinic_id = old.clinic_id and patient_id = whom.id
        union all select id from legal_hold where clinic_id = old.clinic_id and (patient_id = whom.id or order_id = any (orders))))
      and exists (select 1 from jsonb_each(e.sealed) v where not v.value ? 'erased' and erases(old.what, e.subject_kind, v.key));
  get diagnostics n = row_count;
  done := done || jsonb_build_object('events', n);

  update patient set version = version + 1,
      phone = case when identity or 'phone' = any (old.what) then null else phone end,
      phone_digests = case when identity or 'phone' = any (old.what) then '{}' else phone_digests end,
      address = case when identity or 'address' = any (old.what) then null else address end,
      given_name = case when identity then '' else given_name end,
      family_name = case when identity then '' else family_name end,
      name_key = case when identity then '' else name_key end,
      birth_date = case when identity then null else birth_date end,
      identity_erasure_id = case when identity then old.id else identity_erasure_id end
    where clinic_id = old.clinic_id and id = whom.id;

  if identity or 'desk_notes' = any (old.what) then
    update appointment set note = null, why = case when why is null then null else '' end
      where clinic_id = old.clinic_id and patient_id = whom.id and (note is not null or why <> '');
    get diagnostics n = row_count;
    done := done || jsonb_build_object('appointments', n);
    update recall_call set note = null where clinic_id = old.clinic_id and socket_id = any (sockets) and note is not null;
    get diagnostics n = row_count;
    done := done || jsonb_build_object('calls', n);
  end if;

  if identity then
    update photo set bytes = null where clinic_id = old.clinic_id and bytes is not null and (
        finding_id in (select id from finding where clinic_id = old.clinic_id and socket_id = any (sockets))
        or operation_record_id in (select r.id from operation_record r join operation o on o.clinic_id = r.clinic_id
          and o.id = r.operation_id where r.clinic_id = old.clinic_id and o.socket_id = any (sockets)));
    get diagnostics n = row_count;
    done := done || jsonb_build_object('photos', n);
    -- What was signed keeps its hash; who received the limb, and what a correction says, goes out of it.
    update signature set content = content || jsonb_build_object('receivedByName', '', 'erased', old.id)
      where clinic_id = old.clinic_id and content ? 'receivedByName'
        and id in (select signature_id from delivery where clinic_id = old.clinic_id and order_id = any (orders));
    update signature set content = content || jsonb_build_object('wrong', '', 'right', '', 'why', '', 'erased', old.id)
      where clinic_id = old.clinic_id and content ? 'wrong'
        and id in (select signature_id from correction where clinic_id = old.clinic_id and patient_id = whom.id);
    update delivery set received_by_name = '', gate = gate || '{"receivedByName": ""}'
      where clinic_id = old.clinic_id and order_id = any (orders);
    update correction_request set said = '', decision_reason = case when decision_reason is null then null else '' end,
        disagreement = case when disagreement is null then null else '' end
      where clinic_id = old.clinic_id and patient_id = whom.id;
    update correction set wrong = '', "right" = '', why = '' where clinic_id = old.clinic_id and patient_id = whom.id;
    update legal_hold set reason = '', reference = '', lift_reason = ''
      where clinic_id = old.clinic_id and lifted_at is not null and (patient_id = whom.id or order_id = any (orders));
  end if;

  done := done || erase_copies(old.id, old.clinic_id, whom.id, orders, sockets);

  perform set_config('app.erasure', '', true);
  new.erased := done;
  return new;
end
$$;
create trigger erasure_100_is_carried_out before update on erasure for each row execute function erasure_is_carried_out();

/* A hold and an erasure at once: one waits for the other. Of one clinic whatever they are of: a hold on a lot concerns patients whom only the moves tell. */
create function one_hold_or_erasure_at_a_time(whose uuid) returns void
language sql set search_path = public, pg_temp as $$
  select pg_advisory_xact_lock(hashtextextended('hold or erasure of ' || whose, 0))
$$;
create function legal_hold_holds_still() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform one_hold_or_erasure_at_a_time(new.clinic_id);
  return new;
end
$$;
create trigger legal_hold_100_holds_still before insert on legal_hold for each row execute function legal_hold_holds_still();
revoke all on function correction_is_of_its_patient(), erasure_is_allowed(uuid, uuid, text[]), erasure_is_asked(),
  erasure_is_carried_out(), one_hold_or_erasure_at_a_time(uuid), legal_hold_holds_still() from public;
