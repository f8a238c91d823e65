-- The fittings book: which patient is with which prosthetist when, and what became of it. Older program may run: yes.
-- CreateTable
CREATE TABLE "appointment" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "order_id" UUID,
    "prosthetist_id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "starts_at" TIMESTAMPTZ(3) NOT NULL,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,
    "room" TEXT,
    "note" TEXT,
    "state" TEXT NOT NULL DEFAULT 'booked',
    "why" TEXT,
    "replaces_id" UUID,
    "booked_at" TIMESTAMPTZ(3) NOT NULL,
    "booked_by_id" UUID NOT NULL,
    "settled_at" TIMESTAMPTZ(3),
    "settled_by_id" UUID,

    CONSTRAINT "appointment_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "appointment_clinic_id_starts_at_id_idx" ON "appointment"("clinic_id", "starts_at", "id");

-- CreateIndex
CREATE INDEX "appointment_clinic_id_order_id_starts_at_idx" ON "appointment"("clinic_id", "order_id", "starts_at");

-- CreateIndex
CREATE INDEX "appointment_clinic_id_patient_id_starts_at_idx" ON "appointment"("clinic_id", "patient_id", "starts_at");

-- CreateIndex
CREATE UNIQUE INDEX "appointment_clinic_id_replaces_id_key" ON "appointment"("clinic_id", "replaces_id");

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_prosthetist_id_fkey" FOREIGN KEY ("clinic_id", "prosthetist_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_replaces_id_fkey" FOREIGN KEY ("clinic_id", "replaces_id") REFERENCES "appointment"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_booked_by_id_fkey" FOREIGN KEY ("clinic_id", "booked_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "appointment" ADD CONSTRAINT "appointment_clinic_id_settled_by_id_fkey" FOREIGN KEY ("clinic_id", "settled_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- ── Words and shapes ────────────────────────────────────────────────────────────
alter table appointment add constraint appointment_purpose_word check (purpose in ('casting', 'check_fitting', 'delivery', 'service'));
alter table appointment add constraint appointment_state_word check (state in ('booked', 'came', 'did_not_come', 'called_off', 'moved'));
alter table appointment
  add constraint appointment_length check (ends_at - starts_at between interval '5 minutes' and interval '8 hours'),
  add constraint appointment_not_itself check (replaces_id <> id),
  add constraint appointment_settled check (
    (state = 'booked') = (settled_at is null) and (settled_at is null) = (settled_by_id is null)
    and (state not in ('called_off', 'moved') or why is not null));

-- ── Nobody is at two places at once ─────────────────────────────────────────────
create extension if not exists btree_gist;
alter table appointment
  add constraint appointment_prosthetist_once exclude using gist (
    clinic_id with =, prosthetist_id with =, tstzrange(starts_at, ends_at) with &&)
    where (state in ('booked', 'came')),
  add constraint appointment_patient_once exclude using gist (
    clinic_id with =, patient_id with =, tstzrange(starts_at, ends_at) with &&)
    where (state in ('booked', 'came'));

/* An order is its own patient's; what replaces another stands in for one that was moved, of the same patient. */
create function appointment_belongs() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  named record;
begin
  select number, patient_id into named from fabrication_order where clinic_id = new.clinic_id and id = new.order_id;
  if named.patient_id <> new.patient_id then
    perform refuse('R1003', 'order-of-another-patient', jsonb_build_object('order', named.number));
  end if;
  if new.replaces_id is not null and not exists (select 1 from appointment a
      where a.clinic_id = new.clinic_id and a.id = new.replaces_id and a.state = 'moved' and a.patient_id = new.patient_id) then
    perform refuse('R1002', 'record-is-final', jsonb_build_object('table', tg_table_name));
  end if;
  return new;
end
$$;
create trigger appointment_050_own_clinic before insert on appointment for each row execute function only_own_clinic();
create trigger appointment_100_belongs before insert on appointment for each row execute function appointment_belongs();
revoke all on function appointment_belongs() from public;

-- ── R10: nothing is deleted; whether somebody came can be corrected, all else is settled once ──
create trigger appointment_settled_once before update on appointment for each row
  when (old.state <> 'booked' and not (old.state in ('came', 'did_not_come') and new.state in ('came', 'did_not_come')))
  execute function refuse_rewrite();
create trigger appointment_kept before delete on appointment for each row execute function refuse_change();
create trigger appointment_not_emptied before truncate on appointment for each statement execute function refuse_change();
alter table appointment enable row level security;
create policy appointment_own_clinic on appointment for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on appointment to castbook_app;
grant update (state, why, settled_at, settled_by_id) on appointment to castbook_app;
