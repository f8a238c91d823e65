-- Who looked at which patient, fields opened for a reason and reviewed, and no objects made by the application's role (45 CFR 164.502(b), 164.312(b), 164.528). Older program may run: yes.
-- CreateTable
CREATE TABLE "patient_look" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "by_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "route" TEXT NOT NULL,
    "shown" TEXT NOT NULL,
    "order_id" UUID,

    CONSTRAINT "patient_look_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "break_glass" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "reason" TEXT NOT NULL,
    "words" TEXT NOT NULL,
    "fields" TEXT[],
    "opened_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_by_id" UUID NOT NULL,
    "until" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "break_glass_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "break_glass_review" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "break_glass_id" UUID NOT NULL,
    "in_order" BOOLEAN NOT NULL,
    "words" TEXT,
    "reviewed_at" TIMESTAMPTZ(3) NOT NULL,
    "reviewed_by_id" UUID NOT NULL,

    CONSTRAINT "break_glass_review_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "patient_look_clinic_id_patient_id_at_idx" ON "patient_look"("clinic_id", "patient_id", "at");

-- CreateIndex
CREATE INDEX "patient_look_clinic_id_by_id_patient_id_at_idx" ON "patient_look"("clinic_id", "by_id", "patient_id", "at");

-- CreateIndex
CREATE INDEX "break_glass_clinic_id_opened_by_id_until_idx" ON "break_glass"("clinic_id", "opened_by_id", "until");

-- CreateIndex
CREATE INDEX "break_glass_clinic_id_opened_at_id_idx" ON "break_glass"("clinic_id", "opened_at", "id");

-- CreateIndex
CREATE INDEX "break_glass_review_clinic_id_break_glass_id_reviewed_at_idx" ON "break_glass_review"("clinic_id", "break_glass_id", "reviewed_at");

-- AddForeignKey
ALTER TABLE "patient_look" ADD CONSTRAINT "patient_look_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "patient_look" ADD CONSTRAINT "patient_look_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "patient_look" ADD CONSTRAINT "patient_look_clinic_id_by_id_fkey" FOREIGN KEY ("clinic_id", "by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "patient_look" ADD CONSTRAINT "patient_look_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass" ADD CONSTRAINT "break_glass_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass" ADD CONSTRAINT "break_glass_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass" ADD CONSTRAINT "break_glass_clinic_id_opened_by_id_fkey" FOREIGN KEY ("clinic_id", "opened_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass_review" ADD CONSTRAINT "break_glass_review_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass_review" ADD CONSTRAINT "break_glass_review_clinic_id_break_glass_id_fkey" FOREIGN KEY ("clinic_id", "break_glass_id") REFERENCES "break_glass"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "break_glass_review" ADD CONSTRAINT "break_glass_review_clinic_id_reviewed_by_id_fkey" FOREIGN KEY ("clinic_id", "reviewed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- ── Words and shapes ────────────────────────────────────────────────────────────
alter table patient_look
  add constraint patient_look_shown_word check (shown in ('bench', 'identity', 'contact'));
alter table break_glass
  add constraint break_glass_reason_word check (reason in ('label_unreadable', 'emergency', 'recall_call', 'mixed_up')),
  -- Empty where they were erased.
  add constraint break_glass_words_said check (words = '' or length(btrim(words)) >= 10),
  -- What may be opened at all, whoever asks; an address, photos and costs never (src/access/minimumNecessary.ts).
  add constraint break_glass_fields_openable check (cardinality(fields) > 0
    and fields <@ array['givenName', 'familyName', 'birthDate', 'phone']),
  add constraint break_glass_half_an_hour check (until > opened_at and until <= opened_at + interval '30 minutes');
alter table break_glass_review
  add constraint break_glass_review_says_why check (in_order or words is not null);

/* Nobody reviews what they opened themselves. */
create function break_glass_is_reviewed_by_another() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if exists (select 1 from break_glass b
      where b.clinic_id = new.clinic_id and b.id = new.break_glass_id and b.opened_by_id = new.reviewed_by_id) then
    perform refuse('RP201', 'opening-is-your-own', '{}'::jsonb);
  end if;
  return new;
end
$$;
create trigger break_glass_review_050_own_clinic before insert on break_glass_review for each row execute function only_own_clinic();
create trigger break_glass_review_100_by_another before insert on break_glass_review
  for each row execute function break_glass_is_reviewed_by_another();
revoke all on function break_glass_is_reviewed_by_another() from public;

-- ── R10, R12: written once, kept, and seen by the own clinic alone ──────────────
do $$
declare t text;
begin
  foreach t in array array['patient_look', 'break_glass', 'break_glass_review']
  loop
    execute format('create trigger %I before update on %I for each row execute function refuse_change_but_erasure()', t || '_not_rewritten', t);
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('alter table %I enable row level security', t);
    execute format($policy$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$policy$, t || '_own_clinic', t);
    execute format('grant select, insert on %I to castbook_app', t);
  end loop;
end
$$;

-- ── R10: what was said of a patient goes with who the patient is ────────────────
create function break_glass_says_why() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  raise check_violation using message = 'an opening says why', constraint = 'break_glass_words_said', table = tg_table_name;
end
$$;
create trigger break_glass_100_says_why before insert on break_glass for each row
  when (new.words = '') execute function break_glass_says_why();
create function erasure_takes_openings() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  n integer;
begin
  perform set_config('app.erasure', old.id::text, true);
  update break_glass_review set words = '' where clinic_id = old.clinic_id and words is not null
    and break_glass_id in (select id from break_glass where clinic_id = old.clinic_id and patient_id = old.patient_id);
  update break_glass set words = '' where clinic_id = old.clinic_id and patient_id = old.patient_id;
  get diagnostics n = row_count;
  perform set_config('app.erasure', '', true);
  new.erased := new.erased || jsonb_build_object('openings', n);
  return new;
end
$$;
create trigger erasure_200_takes_openings before update on erasure for each row
  when (old.state = 'asked' and new.state = 'carried_out' and 'identity' = any (old.what))
  execute function erasure_takes_openings();
revoke all on function break_glass_says_why(), erasure_takes_openings() from public;

-- ── The application's role makes nothing ────────────────────────────────────────
-- PostgreSQL lets everybody make temporary tables. One named `patient` would stand before the
-- record's own for the rest of that connection, whichever clinic it serves next.
do $$
begin
  execute format('revoke temporary on database %I from public', current_database());
end
$$;
revoke create on schema public from public;
