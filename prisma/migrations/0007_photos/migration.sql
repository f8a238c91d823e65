-- Pictures as evidence: of a finding, or as the answer to a check of an operation. Older program may run: no.
--
-- An older program may not run, for routes may now ask for a scan or a photo, and it does
-- not know these checks.
-- CreateTable
CREATE TABLE "photo" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "finding_id" UUID,
    "operation_record_id" UUID,
    "check_key" TEXT,
    "seq" INTEGER NOT NULL,
    "media_type" TEXT NOT NULL,
    "width_px" INTEGER NOT NULL,
    "height_px" INTEGER NOT NULL,
    "bytes" BYTEA NOT NULL,
    "sha256" TEXT NOT NULL,
    "taken_at" TIMESTAMPTZ(3) NOT NULL,
    "taken_by_id" UUID NOT NULL,

    CONSTRAINT "photo_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "photo_clinic_id_finding_id_seq_key" ON "photo"("clinic_id", "finding_id", "seq");

-- CreateIndex
CREATE UNIQUE INDEX "photo_clinic_id_operation_record_id_check_key_seq_key" ON "photo"("clinic_id", "operation_record_id", "check_key", "seq");

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_clinic_id_finding_id_fkey" FOREIGN KEY ("clinic_id", "finding_id") REFERENCES "finding"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_clinic_id_operation_record_id_fkey" FOREIGN KEY ("clinic_id", "operation_record_id") REFERENCES "operation_record"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_clinic_id_taken_by_id_fkey" FOREIGN KEY ("clinic_id", "taken_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- ── What it is, and how much at most (a test compares with src/domain/pictures.ts) ──
alter table photo add constraint photo_media_type_word check (media_type in ('image/jpeg', 'image/png', 'image/webp'));
alter table photo
  add constraint photo_of_one_thing check (
    (finding_id is null) <> (operation_record_id is null) and (operation_record_id is null) = (check_key is null)),
  add constraint photo_seq check (seq between 1 and 4),
  add constraint photo_size check (octet_length(bytes) between 1 and 1048576),
  add constraint photo_edges check (width_px between 1 and 4096 and height_px between 1 and 4096),
  add constraint photo_is_its_sha256 check (sha256 = encode(sha256(bytes), 'hex'));
-- Pictures are packed already; out of the row, and not tried again.
alter table photo alter column bytes set storage external;

-- ── R10, R12: a record of its clinic, rewritten and deleted by nobody ────────────
create trigger photo_kept before delete on photo for each row execute function refuse_change();
create trigger photo_not_emptied before truncate on photo for each statement execute function refuse_change();
create trigger photo_not_rewritten before update on photo for each row execute function refuse_change();
alter table photo enable row level security;
create policy photo_own_clinic on photo for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on photo to castbook_app;
