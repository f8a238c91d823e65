-- How large the clinic's labels are: versions, the newest in force (design §5). Older program may run: yes.
-- CreateTable
CREATE TABLE "label_sizes" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "socket_width_mm" DOUBLE PRECISION NOT NULL,
    "socket_height_mm" DOUBLE PRECISION NOT NULL,
    "model_width_mm" DOUBLE PRECISION NOT NULL,
    "model_height_mm" DOUBLE PRECISION NOT NULL,
    "bin_width_mm" DOUBLE PRECISION NOT NULL,
    "bin_height_mm" DOUBLE PRECISION NOT NULL,
    "margin_mm" DOUBLE PRECISION NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID NOT NULL,

    CONSTRAINT "label_sizes_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "label_sizes_clinic_id_version_key" ON "label_sizes"("clinic_id", "version");

-- AddForeignKey
ALTER TABLE "label_sizes" ADD CONSTRAINT "label_sizes_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "label_sizes" ADD CONSTRAINT "label_sizes_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- What no label can be: the code on it is to be read at the bench.
alter table label_sizes
  add constraint label_sizes_version_counts check (version >= 1),
  add constraint label_sizes_margin check (margin_mm between 0 and 10),
  add constraint label_sizes_room check (
    least(socket_width_mm, model_width_mm, bin_width_mm) >= 44 + 2 * margin_mm
    and least(socket_height_mm, model_height_mm, bin_height_mm) >= 20 + 2 * margin_mm
    and greatest(socket_width_mm, model_width_mm, bin_width_mm, socket_height_mm, model_height_mm, bin_height_mm) <= 297);

-- R10, R12: kept, never changed, each clinic its own.
create trigger label_sizes_kept before delete on label_sizes for each row execute function refuse_change();
create trigger label_sizes_not_emptied before truncate on label_sizes for each statement execute function refuse_change();
create trigger label_sizes_not_rewritten before update on label_sizes for each row execute function refuse_change();
alter table label_sizes enable row level security;
create policy label_sizes_own_clinic on label_sizes for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on label_sizes to castbook_app;
