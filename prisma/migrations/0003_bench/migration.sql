-- What the bench works out: limb, layup, resin, dates, cost, labels (design C1 to C9). Older program may run: no.
-- AlterTable
ALTER TABLE "batch" ADD COLUMN     "fabric_id" UUID,
ADD COLUMN     "price_minor" INTEGER,
ADD COLUMN     "resin_product_id" UUID;

-- AlterTable
ALTER TABLE "batch_use" ADD COLUMN     "resin_weighing_id" UUID;

-- AlterTable
ALTER TABLE "calibration" ADD COLUMN     "deviation_after_percent" DOUBLE PRECISION;

-- AlterTable
ALTER TABLE "clinic" ADD COLUMN     "at_risk_below" DOUBLE PRECISION NOT NULL DEFAULT 0.5,
ADD COLUMN     "bag_loss_g" DOUBLE PRECISION NOT NULL DEFAULT 60,
ADD COLUMN     "currency" TEXT,
ADD COLUMN     "figures_by_person" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN     "labour_rate_per_hour_minor" INTEGER,
ADD COLUMN     "per_ply" DOUBLE PRECISION NOT NULL DEFAULT 1.2,
ADD COLUMN     "ply_means" TEXT NOT NULL DEFAULT 'percent',
ADD COLUMN     "reorder_cover_days" INTEGER NOT NULL DEFAULT 60,
ADD COLUMN     "reorder_lead_days" INTEGER NOT NULL DEFAULT 14,
ADD COLUMN     "reorder_window_days" INTEGER NOT NULL DEFAULT 90,
ADD COLUMN     "resin_margin_percent" DOUBLE PRECISION NOT NULL DEFAULT 10,
ADD COLUMN     "scale_resolution_g" DOUBLE PRECISION NOT NULL DEFAULT 1,
ADD COLUMN     "usual_casting_days" DOUBLE PRECISION NOT NULL DEFAULT 3,
ADD COLUMN     "usual_check_fitting_days" DOUBLE PRECISION NOT NULL DEFAULT 8,
ADD COLUMN     "usual_delivery_days" DOUBLE PRECISION NOT NULL DEFAULT 3,
ADD COLUMN     "usual_lamination_days" DOUBLE PRECISION NOT NULL DEFAULT 4,
ADD COLUMN     "volume_limit_percent" DOUBLE PRECISION NOT NULL DEFAULT 5,
ADD COLUMN     "wanted_chance" DOUBLE PRECISION NOT NULL DEFAULT 0.8;

-- AlterTable
ALTER TABLE "fabrication_order" ADD COLUMN     "first_promised_on" DATE,
ADD COLUMN     "offer_seed" INTEGER,
ADD COLUMN     "offered_chance" DOUBLE PRECISION;

-- AlterTable
ALTER TABLE "item" ADD COLUMN     "expires_on" DATE,
ADD COLUMN     "made_on" DATE,
ADD COLUMN     "price_minor" INTEGER,
ADD COLUMN     "scans" TEXT[] DEFAULT ARRAY[]::TEXT[],
ADD COLUMN     "version" INTEGER NOT NULL DEFAULT 1;

-- AlterTable
ALTER TABLE "measure_set" ADD COLUMN     "cap_depth_mm" DOUBLE PRECISION,
ADD COLUMN     "note" TEXT,
ADD COLUMN     "occasion" TEXT NOT NULL DEFAULT 'cast',
ADD COLUMN     "socket_id" UUID;

-- AlterTable
ALTER TABLE "operation" ADD COLUMN     "bench_id" UUID,
ADD COLUMN     "planned_minutes" INTEGER;

-- AlterTable
ALTER TABLE "part" ADD COLUMN     "range_deg" DOUBLE PRECISION,
ADD COLUMN     "udi_issuer" TEXT;

-- AlterTable
ALTER TABLE "route_operation" ADD COLUMN     "bench_id" UUID,
ADD COLUMN     "planned_minutes" INTEGER;

-- CreateTable
CREATE TABLE "bench" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "people" INTEGER NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "bench_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "work_calendar" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "weekdays" JSONB NOT NULL,
    "closed_days" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "work_calendar_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "layup_rule_set" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "rules" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "layup_rule_set_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "fabric" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "material" TEXT NOT NULL,
    "form" TEXT NOT NULL,
    "areal_density_gm2" DOUBLE PRECISION NOT NULL,
    "width_mm" DOUBLE PRECISION NOT NULL,
    "fibre_density_gcm3" DOUBLE PRECISION NOT NULL,
    "stretch_percent" DOUBLE PRECISION NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "fabric_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "resin_product" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "chemistry" TEXT NOT NULL,
    "parts_resin" DOUBLE PRECISION NOT NULL,
    "parts_hardener" DOUBLE PRECISION NOT NULL,
    "ratio_tolerance_percent" DOUBLE PRECISION NOT NULL,
    "density_gcm3" DOUBLE PRECISION NOT NULL,
    "pot_life_minutes" DOUBLE PRECISION NOT NULL,
    "pot_life_mass_g" DOUBLE PRECISION NOT NULL,
    "pot_life_temperature_c" DOUBLE PRECISION NOT NULL,
    "cup_limit_g" DOUBLE PRECISION NOT NULL,
    "cure_hours" DOUBLE PRECISION NOT NULL,
    "cure_temperature_c" DOUBLE PRECISION NOT NULL,
    "document" TEXT NOT NULL,
    "revision" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "resin_product_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "layup" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "running" INTEGER NOT NULL,
    "rule_set_id" UUID,
    "rule_row" TEXT,
    "lines" JSONB NOT NULL,
    "basis" JSONB NOT NULL,
    "figures" JSONB NOT NULL,
    "why" TEXT,
    "drafted_at" TIMESTAMPTZ(3) NOT NULL,
    "drafted_by_id" UUID NOT NULL,
    "approved_at" TIMESTAMPTZ(3),
    "signature_id" UUID,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "layup_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "resin_recipe" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "running" INTEGER NOT NULL,
    "layup_id" UUID NOT NULL,
    "product_id" UUID NOT NULL,
    "product" JSONB NOT NULL,
    "asked" JSONB NOT NULL,
    "recipe" JSONB NOT NULL,
    "why" TEXT,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "made_by_id" UUID NOT NULL,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "resin_recipe_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "resin_weighing" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "recipe_id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "pour" INTEGER NOT NULL,
    "attempt" INTEGER NOT NULL,
    "puts_right_id" UUID,
    "resin_g" DOUBLE PRECISION NOT NULL,
    "hardener_g" DOUBLE PRECISION NOT NULL,
    "pigment_g" DOUBLE PRECISION NOT NULL,
    "off_ratio_percent" DOUBLE PRECISION NOT NULL,
    "stops" JSONB NOT NULL,
    "finding_id" UUID,
    "mixed_at" TIMESTAMPTZ(3) NOT NULL,
    "shop_temperature_c" DOUBLE PRECISION NOT NULL,
    "work_minutes" DOUBLE PRECISION,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "resin_weighing_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "volume_decision" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "first_set_id" UUID NOT NULL,
    "second_set_id" UUID NOT NULL,
    "difference_ml" DOUBLE PRECISION NOT NULL,
    "percent" DOUBLE PRECISION NOT NULL,
    "ply" INTEGER NOT NULL,
    "limit_percent" DOUBLE PRECISION NOT NULL,
    "decision" TEXT NOT NULL,
    "why" TEXT,
    "decided_at" TIMESTAMPTZ(3) NOT NULL,
    "decided_by_id" UUID NOT NULL,

    CONSTRAINT "volume_decision_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "part_draft" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "issuer" TEXT NOT NULL,
    "device_identifier" TEXT NOT NULL,
    "scans" TEXT[],
    "said" JSONB NOT NULL,
    "scanned_at" TIMESTAMPTZ(3) NOT NULL,
    "scanned_by_id" UUID NOT NULL,
    "resolved_at" TIMESTAMPTZ(3),
    "resolved_by_id" UUID,
    "part_id" UUID,
    "note" TEXT,

    CONSTRAINT "part_draft_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "stage_change_clinic_id_changed_at_idx" ON "stage_change"("clinic_id", "changed_at");

-- CreateIndex
CREATE UNIQUE INDEX "bench_clinic_id_name_key" ON "bench"("clinic_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "work_calendar_clinic_id_version_key" ON "work_calendar"("clinic_id", "version");

-- CreateIndex
CREATE UNIQUE INDEX "layup_rule_set_clinic_id_version_key" ON "layup_rule_set"("clinic_id", "version");

-- CreateIndex
CREATE UNIQUE INDEX "fabric_clinic_id_name_key" ON "fabric"("clinic_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "resin_product_clinic_id_name_key" ON "resin_product"("clinic_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "layup_clinic_id_socket_id_running_key" ON "layup"("clinic_id", "socket_id", "running");

-- CreateIndex
CREATE UNIQUE INDEX "resin_recipe_clinic_id_socket_id_running_key" ON "resin_recipe"("clinic_id", "socket_id", "running");

-- CreateIndex
CREATE INDEX "resin_weighing_clinic_id_socket_id_idx" ON "resin_weighing"("clinic_id", "socket_id");

-- CreateIndex
CREATE UNIQUE INDEX "resin_weighing_clinic_id_recipe_id_pour_attempt_key" ON "resin_weighing"("clinic_id", "recipe_id", "pour", "attempt");

-- CreateIndex
CREATE INDEX "volume_decision_clinic_id_order_id_idx" ON "volume_decision"("clinic_id", "order_id");

-- CreateIndex
CREATE UNIQUE INDEX "volume_decision_clinic_id_first_set_id_second_set_id_key" ON "volume_decision"("clinic_id", "first_set_id", "second_set_id");

-- CreateIndex
CREATE INDEX "part_draft_clinic_id_device_identifier_idx" ON "part_draft"("clinic_id", "device_identifier");

-- CreateIndex
CREATE INDEX "layup_clinic_id_drafted_by_id_drafted_at_idx" ON "layup"("clinic_id", "drafted_by_id", "drafted_at");

-- CreateIndex
CREATE INDEX "measure_set_clinic_id_taken_by_id_recorded_at_idx" ON "measure_set"("clinic_id", "taken_by_id", "recorded_at");

-- CreateIndex
CREATE INDEX "resin_recipe_clinic_id_made_by_id_made_at_idx" ON "resin_recipe"("clinic_id", "made_by_id", "made_at");

-- CreateIndex
CREATE INDEX "resin_weighing_clinic_id_recorded_by_id_recorded_at_idx" ON "resin_weighing"("clinic_id", "recorded_by_id", "recorded_at");

-- CreateIndex
CREATE INDEX "signature_clinic_id_person_id_signed_at_idx" ON "signature"("clinic_id", "person_id", "signed_at");

-- AddForeignKey
ALTER TABLE "measure_set" ADD CONSTRAINT "measure_set_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "route_operation" ADD CONSTRAINT "route_operation_clinic_id_bench_id_fkey" FOREIGN KEY ("clinic_id", "bench_id") REFERENCES "bench"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation" ADD CONSTRAINT "operation_clinic_id_bench_id_fkey" FOREIGN KEY ("clinic_id", "bench_id") REFERENCES "bench"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch" ADD CONSTRAINT "batch_clinic_id_fabric_id_fkey" FOREIGN KEY ("clinic_id", "fabric_id") REFERENCES "fabric"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch" ADD CONSTRAINT "batch_clinic_id_resin_product_id_fkey" FOREIGN KEY ("clinic_id", "resin_product_id") REFERENCES "resin_product"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_resin_weighing_id_fkey" FOREIGN KEY ("clinic_id", "resin_weighing_id") REFERENCES "resin_weighing"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "bench" ADD CONSTRAINT "bench_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "work_calendar" ADD CONSTRAINT "work_calendar_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "work_calendar" ADD CONSTRAINT "work_calendar_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup_rule_set" ADD CONSTRAINT "layup_rule_set_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup_rule_set" ADD CONSTRAINT "layup_rule_set_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fabric" ADD CONSTRAINT "fabric_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_product" ADD CONSTRAINT "resin_product_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup" ADD CONSTRAINT "layup_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup" ADD CONSTRAINT "layup_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup" ADD CONSTRAINT "layup_clinic_id_rule_set_id_fkey" FOREIGN KEY ("clinic_id", "rule_set_id") REFERENCES "layup_rule_set"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup" ADD CONSTRAINT "layup_clinic_id_drafted_by_id_fkey" FOREIGN KEY ("clinic_id", "drafted_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "layup" ADD CONSTRAINT "layup_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_recipe" ADD CONSTRAINT "resin_recipe_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_recipe" ADD CONSTRAINT "resin_recipe_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_recipe" ADD CONSTRAINT "resin_recipe_clinic_id_layup_id_fkey" FOREIGN KEY ("clinic_id", "layup_id") REFERENCES "layup"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_recipe" ADD CONSTRAINT "resin_recipe_clinic_id_product_id_fkey" FOREIGN KEY ("clinic_id", "product_id") REFERENCES "resin_product"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_recipe" ADD CONSTRAINT "resin_recipe_clinic_id_made_by_id_fkey" FOREIGN KEY ("clinic_id", "made_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_recipe_id_fkey" FOREIGN KEY ("clinic_id", "recipe_id") REFERENCES "resin_recipe"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_puts_right_id_fkey" FOREIGN KEY ("clinic_id", "puts_right_id") REFERENCES "resin_weighing"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_finding_id_fkey" FOREIGN KEY ("clinic_id", "finding_id") REFERENCES "finding"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "resin_weighing" ADD CONSTRAINT "resin_weighing_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "volume_decision" ADD CONSTRAINT "volume_decision_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "volume_decision" ADD CONSTRAINT "volume_decision_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "volume_decision" ADD CONSTRAINT "volume_decision_clinic_id_first_set_id_fkey" FOREIGN KEY ("clinic_id", "first_set_id") REFERENCES "measure_set"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "volume_decision" ADD CONSTRAINT "volume_decision_clinic_id_second_set_id_fkey" FOREIGN KEY ("clinic_id", "second_set_id") REFERENCES "measure_set"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "volume_decision" ADD CONSTRAINT "volume_decision_clinic_id_decided_by_id_fkey" FOREIGN KEY ("clinic_id", "decided_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_draft" ADD CONSTRAINT "part_draft_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_draft" ADD CONSTRAINT "part_draft_clinic_id_scanned_by_id_fkey" FOREIGN KEY ("clinic_id", "scanned_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_draft" ADD CONSTRAINT "part_draft_clinic_id_resolved_by_id_fkey" FOREIGN KEY ("clinic_id", "resolved_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_draft" ADD CONSTRAINT "part_draft_clinic_id_part_id_fkey" FOREIGN KEY ("clinic_id", "part_id") REFERENCES "part"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- ── Words ───────────────────────────────────────────────────────────────────────
alter table signature drop constraint signature_meaning_word;
alter table signature add constraint signature_meaning_word check (meaning in ('fit_accepted', 'check_fitting_skipped', 'finding_accepted_as_is', 'alignment_difference_accepted', 'mass_near_rating_acknowledged', 'delivery_released', 'service_released', 'layup_approved'));
alter table clinic add constraint clinic_ply_means_word check (ply_means in ('mL', 'percent'));
alter table measure_set add constraint measure_set_occasion_word check (occasion in ('cast', 'fitting', 'delivery', 'follow_up'));
alter table volume_decision add constraint volume_decision_decision_word check (decision in ('new_cast', 'socks', 'as_is'));
alter table fabric add constraint fabric_form_word check (form in ('flat', 'tube', 'strip'));
alter table resin_product add constraint resin_product_chemistry_word check (chemistry in ('epoxy', 'acrylic', 'polyester'));
alter table part add constraint part_udi_issuer_word check (udi_issuer in ('GS1', 'HIBCC'));
alter table part_draft add constraint part_draft_issuer_word check (issuer in ('GS1', 'HIBCC'));

-- ── Shapes ──────────────────────────────────────────────────────────────────────
alter table clinic
  add constraint clinic_volume check (per_ply > 0 and volume_limit_percent > 0),
  add constraint clinic_resin check (bag_loss_g >= 0 and resin_margin_percent >= 0 and scale_resolution_g > 0),
  add constraint clinic_money check (labour_rate_per_hour_minor >= 0 and currency ~ '^[A-Z]{3}$'),
  add constraint clinic_stock check (reorder_window_days > 0 and reorder_lead_days >= 0 and reorder_cover_days > 0),
  add constraint clinic_chance check (wanted_chance > 0 and wanted_chance <= 1 and at_risk_below between 0 and 1),
  add constraint clinic_usual_days check (usual_casting_days >= 0 and usual_check_fitting_days >= 0
    and usual_lamination_days >= 0 and usual_delivery_days >= 0);
alter table fabrication_order add constraint fabrication_order_offer check (
  offered_chance between 0 and 1 and (offered_chance is null or (first_promised_on is not null and offer_seed is not null)));
alter table measure_set
  add constraint measure_set_cap check (cap_depth_mm between 0 and 200),
  add constraint measure_set_of_a_cast check ((occasion = 'cast') = (cast_id is not null));
alter table volume_decision add constraint volume_decision_two_sets check (first_set_id <> second_set_id);
alter table bench add constraint bench_people check (people between 1 and 50);
alter table operation add constraint operation_planned check (planned_minutes between 1 and 10000);
alter table route_operation add constraint route_operation_planned check (planned_minutes between 1 and 10000);
alter table fabric add constraint fabric_sheet check (
  areal_density_gm2 > 0 and width_mm > 0 and fibre_density_gcm3 > 0 and stretch_percent >= 0);
alter table resin_product add constraint resin_product_sheet check (
  parts_resin > 0 and parts_hardener > 0 and ratio_tolerance_percent > 0 and density_gcm3 > 0 and pot_life_minutes > 0
  and pot_life_mass_g > 0 and cup_limit_g > 0 and cure_hours > 0);
alter table batch
  add constraint batch_of_a_fabric check (fabric_id is null or kind = 'fabric'),
  add constraint batch_of_a_product check (resin_product_id is null or kind in ('resin', 'hardener')),
  add constraint batch_price check (price_minor >= 0);
alter table item
  add constraint item_price check (price_minor >= 0),
  add constraint item_days check (made_on <= expires_on);
alter table part add constraint part_range check (range_deg is null or (kind in ('pyramid', 'four_hole_adapter') and range_deg between 0.1 and 45));
alter table layup
  add constraint layup_from_a_row check ((rule_set_id is null) = (rule_row is null)),
  add constraint layup_approved check ((approved_at is null) = (signature_id is null));
alter table resin_weighing
  add constraint resin_weighing_readings check (resin_g > 0 and hardener_g > 0 and pigment_g >= 0),
  add constraint resin_weighing_cup check (pour >= 1 and attempt >= 1 and puts_right_id <> id),
  add constraint resin_weighing_stopped check ((stops = '[]') = (finding_id is null));
alter table part_draft add constraint part_draft_resolved check (
  (resolved_at is null) = (resolved_by_id is null) and (part_id is null or resolved_at is not null));
create unique index work_calendar_one_current on work_calendar (clinic_id) where superseded_at is null;
create unique index layup_rule_set_one_current on layup_rule_set (clinic_id) where superseded_at is null;
create unique index layup_one_current on layup (clinic_id, socket_id) where superseded_at is null;
create unique index resin_recipe_one_current on resin_recipe (clinic_id, socket_id) where superseded_at is null;
create unique index part_one_of_a_device on part (clinic_id, udi_issuer, udi_device_identifier)
  where udi_issuer is not null and udi_device_identifier is not null;
create unique index part_draft_one_waiting on part_draft (clinic_id, issuer, device_identifier) where resolved_at is null;
create index batch_use_resin_weighing on batch_use (clinic_id, resin_weighing_id) where resin_weighing_id is not null;

-- The day promised first, of the orders that there are.
update fabrication_order set first_promised_on = promised_on where promised_on is not null;

-- ── C1: measures name a socket of their own order, and a decision is on two sets of one limb ──
create function measures_are_of_their_order() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  other record;
begin
  select s.number as socket, o.number as "order" into other from socket s
    join fabrication_order o on o.clinic_id = s.clinic_id and o.id = new.order_id
    where s.clinic_id = new.clinic_id and s.id = new.socket_id and s.order_id <> o.id;
  if found then perform refuse('RC101', 'socket-of-another-order', to_jsonb(other)); end if;
  return new;
end
$$;
create trigger measure_set_050_own_clinic before insert on measure_set for each row execute function only_own_clinic();
create trigger measure_set_100_socket before insert on measure_set for each row execute function measures_are_of_their_order();

create function decision_is_on_one_limb() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  limbs record;
begin
  select format('the %s %s limb of %s', a.side, replace(a.level, '_', '-'), a.number) as first,
      format('the %s %s limb of %s', b.side, replace(b.level, '_', '-'), b.number) as second into limbs
    from measure_set f
    join fabrication_order a on a.clinic_id = f.clinic_id and a.id = f.order_id
    join measure_set s on s.clinic_id = f.clinic_id and s.id = new.second_set_id
    join fabrication_order b on b.clinic_id = s.clinic_id and b.id = s.order_id
    where f.clinic_id = new.clinic_id and f.id = new.first_set_id
      and (a.patient_id, a.side, a.level) <> (b.patient_id, b.side, b.level);
  if found then perform refuse('RC102', 'measure-sets-of-two-limbs', to_jsonb(limbs)); end if;
  return new;
end
$$;
create trigger volume_decision_050_own_clinic before insert on volume_decision for each row execute function only_own_clinic();
create trigger volume_decision_100_limb before insert on volume_decision for each row execute function decision_is_on_one_limb();
revoke all on function measures_are_of_their_order(), decision_is_on_one_limb() from public;

-- ── C2: only a definitive socket has a layup, approved by a signature on that very layup ──
create function layup_has_its_record() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if tg_op = 'INSERT' and not exists (select 1 from socket
      where clinic_id = new.clinic_id and id = new.socket_id and kind = 'definitive') then
    perform refuse('RC202', 'layup-of-definitive-only', jsonb_build_object('socket',
      coalesce((select number from socket where clinic_id = new.clinic_id and id = new.socket_id), '')));
  end if;
  if new.approved_at is not null and not exists (select 1 from signature s
      where s.clinic_id = new.clinic_id and s.id = new.signature_id
        and s.meaning = 'layup_approved' and s.subject_id = new.id) then
    perform refuse('RC201', 'layup-not-signed', jsonb_build_object('layup', new.running));
  end if;
  return new;
end
$$;
create trigger layup_050_own_clinic before insert on layup for each row execute function only_own_clinic();
create trigger layup_100_record before insert or update of approved_at, signature_id on layup
  for each row execute function layup_has_its_record();
revoke all on function layup_has_its_record() from public;

-- ── C2, R6: fabric goes on the model by a signed layup only ─────────────────────
create function lay_up_has_its_layup() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if not exists (select 1 from layup where clinic_id = new.clinic_id and socket_id = new.socket_id
      and superseded_at is null and approved_at is not null) then
    perform refuse('RC203', 'layup-not-approved', jsonb_build_object('socket',
      (select number from socket where clinic_id = new.clinic_id and id = new.socket_id)));
  end if;
  return new;
end
$$;
create trigger operation_100_lay_up before update of state on operation for each row
  when (new.kind = 'lay_up' and new.state = 'done' and old.state <> 'done') execute function lay_up_has_its_layup();

-- ── C1, R8: nothing more is made from a cast that a new one was decided for ─────
create function cast_is_not_outgrown() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  decided_after date;
begin
  select max(s.taken_on) into decided_after from measure_set f
    join volume_decision d on d.clinic_id = f.clinic_id and d.first_set_id = f.id and d.decision = 'new_cast'
    join measure_set s on s.clinic_id = d.clinic_id and s.id = d.second_set_id
    where f.clinic_id = new.clinic_id and f.cast_id = new.cast_id;
  if decided_after is not null then
    perform refuse('RC103', 'new-cast-decided', jsonb_build_object('socket', null, 'takenOn', decided_after,
      'cast', (select number from limb_cast where clinic_id = new.clinic_id and id = new.cast_id)));
  end if;
  return new;
end
$$;
create trigger socket_110_cast before insert on socket for each row execute function cast_is_not_outgrown();
revoke all on function lay_up_has_its_layup(), cast_is_not_outgrown() from public;

-- ── C3: a recipe is for the approved layup, and a cup is weighed by the recipe that stands ──
create function recipe_has_its_layup() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if not exists (select 1 from layup where clinic_id = new.clinic_id and id = new.layup_id
      and socket_id = new.socket_id and approved_at is not null) then
    perform refuse('RC301', 'resin-needs-layup', jsonb_build_object('socket',
      coalesce((select number from socket where clinic_id = new.clinic_id and id = new.socket_id), '')));
  end if;
  return new;
end
$$;
create trigger resin_recipe_050_own_clinic before insert on resin_recipe for each row execute function only_own_clinic();
create trigger resin_recipe_100_layup before insert on resin_recipe for each row execute function recipe_has_its_layup();

create function weighing_is_of_its_cup() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  recipe resin_recipe%rowtype;
  earlier resin_weighing%rowtype;
  lighter record;
begin
  -- Held, so that it is not superseded while a cup of it is weighed.
  select * into recipe from resin_recipe where clinic_id = new.clinic_id and id = new.recipe_id for share;
  if recipe.superseded_at is not null then
    perform refuse('RC302', 'recipe-superseded', jsonb_build_object('recipe', recipe.running));
  end if;
  select * into earlier from resin_weighing where clinic_id = new.clinic_id and id = new.puts_right_id;
  if recipe.socket_id <> new.socket_id or earlier.recipe_id <> new.recipe_id or earlier.pour <> new.pour then
    perform refuse('RC303', 'cup-of-another-recipe', jsonb_build_object('pour', new.pour));
  end if;
  select * into lighter from (values
      ('resin', earlier.resin_g, new.resin_g),
      ('hardener', earlier.hardener_g, new.hardener_g),
      ('pigment', earlier.pigment_g, new.pigment_g)) as c (component, before_g, now_g)
    where c.now_g < c.before_g limit 1;
  if found then
    perform refuse('RC304', 'cup-reading-decreases', jsonb_build_object(
      'component', lighter.component, 'beforeG', lighter.before_g, 'nowG', lighter.now_g));
  end if;
  return new;
end
$$;
create trigger resin_weighing_050_own_clinic before insert on resin_weighing for each row execute function only_own_clinic();
create trigger resin_weighing_100_cup before insert on resin_weighing for each row execute function weighing_is_of_its_cup();
revoke all on function recipe_has_its_layup(), weighing_is_of_its_cup() from public;

-- ── R3: what is past its last day of use goes into no socket ─────────────────────
/* The clock of the rule is the move's own, in the clinic's zone; most items have no such day and ask nothing. */
create function move_is_in_time() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  until date;
  label text;
  zone text;
begin
  select i.expires_on, p.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) into until, label
    from item i join part p on p.clinic_id = i.clinic_id and p.id = i.part_id
    where i.clinic_id = new.clinic_id and i.id = new.item_id;
  if until is not null and exists (select 1 from place
      where clinic_id = new.clinic_id and id = new.to_place_id and kind = 'socket_position')
  then
    select time_zone into zone from clinic where id = new.clinic_id;
    if until < (new.moved_at at time zone zone)::date then
      perform refuse('R0302', 'item-expired', jsonb_build_object('item', label, 'expiresOn', until,
        'on', (new.moved_at at time zone zone)::date));
    end if;
  end if;
  return new;
end
$$;
create trigger move_200_in_time before insert on move for each row
  when (new.item_id is not null) execute function move_is_in_time();
revoke all on function move_is_in_time() from public;

-- ── R4: a tool is calibrated once a day, and a certificate is of one calibration ──
/* No unique key: the books of clinics that are there already may hold a certificate twice, and keep it. */
create function calibration_is_entered_once() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  known record;
begin
  -- Held, so that of two who enter the same certificate one comes after the other.
  perform 1 from shop_tool where clinic_id = new.clinic_id and id = new.tool_id for no key update;
  select t.name as tool, k.calibrated_on as "calibratedOn", k.certificate,
      k.calibrated_on = new.calibrated_on as that_day into known
    from calibration k join shop_tool t on t.clinic_id = k.clinic_id and t.id = k.tool_id
    where k.clinic_id = new.clinic_id and k.tool_id = new.tool_id
      and (k.calibrated_on = new.calibrated_on or lower(k.certificate) = lower(new.certificate))
    order by that_day desc limit 1;
  if known.that_day then
    perform refuse('R0401', 'tool-calibrated-that-day', to_jsonb(known) - 'that_day');
  elsif found then
    perform refuse('R0402', 'certificate-already-entered', to_jsonb(known) - 'that_day');
  end if;
  return new;
end
$$;
create trigger calibration_050_own_clinic before insert on calibration for each row execute function only_own_clinic();
create trigger calibration_100_once before insert on calibration for each row execute function calibration_is_entered_once();
revoke all on function calibration_is_entered_once() from public;

-- ── R10: nothing is deleted, and what is a record is never rewritten ────────────
do $$
declare t text;
begin
  foreach t in array array['bench', 'work_calendar', 'layup_rule_set', 'fabric', 'resin_product', 'layup',
    'resin_recipe', 'resin_weighing', 'volume_decision', 'part_draft']
  loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('alter table %I enable row level security', t);
    execute format($policy$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$policy$, t || '_own_clinic', t);
    execute format('grant select, insert on %I to castbook_app', t);
  end loop;
  foreach t in array array['resin_weighing', 'volume_decision']
  loop
    execute format('create trigger %I before update on %I for each row execute function refuse_change()', t || '_not_rewritten', t);
  end loop;
  foreach t in array array['work_calendar', 'layup_rule_set', 'layup', 'resin_recipe']
  loop
    execute format('create trigger %I before update on %I for each row when (old.superseded_at is not null) execute function refuse_rewrite()',
      t || '_superseded_once', t);
  end loop;
end
$$;
create trigger layup_approved_once before update on layup for each row
  when (old.approved_at is not null and (new.approved_at, new.signature_id) is distinct from (old.approved_at, old.signature_id))
  execute function refuse_rewrite();
create trigger part_draft_resolved_once before update on part_draft for each row
  when (old.resolved_at is not null) execute function refuse_rewrite();
create trigger batch_product_named_once before update on batch for each row
  when (old.resin_product_id is not null and new.resin_product_id is distinct from old.resin_product_id)
  execute function refuse_rewrite();
-- Of a piece only its price may be entered later; all else is what came.
drop trigger item_not_rewritten on item;
create trigger item_not_rewritten before update on item for each row
  when (to_jsonb(new) - array['price_minor', 'version'] is distinct from to_jsonb(old) - array['price_minor', 'version'])
  execute function refuse_change();
create trigger fabrication_order_first_promise before update on fabrication_order for each row
  when (old.first_promised_on is not null and new.first_promised_on is distinct from old.first_promised_on)
  execute function refuse_rewrite();

-- What may change at all, column by column.
grant update (ply_means, per_ply, volume_limit_percent, bag_loss_g, resin_margin_percent, scale_resolution_g,
  labour_rate_per_hour_minor, currency, reorder_window_days, reorder_lead_days, reorder_cover_days, wanted_chance,
  at_risk_below, usual_casting_days, usual_check_fitting_days, usual_lamination_days, usual_delivery_days,
  figures_by_person) on clinic to castbook_app;
grant update (first_promised_on, offered_chance, offer_seed) on fabrication_order to castbook_app;
grant update (name, people, active, version) on bench to castbook_app;
grant update (superseded_at) on work_calendar to castbook_app;
grant update (superseded_at) on layup_rule_set to castbook_app;
grant update (name, material, areal_density_gm2, width_mm, fibre_density_gcm3, stretch_percent, active, version)
  on fabric to castbook_app;
grant update (name, parts_resin, parts_hardener, ratio_tolerance_percent, density_gcm3, pot_life_minutes, pot_life_mass_g,
  pot_life_temperature_c, cup_limit_g, cure_hours, cure_temperature_c, document, revision, active, version)
  on resin_product to castbook_app;
grant update (approved_at, signature_id, superseded_at) on layup to castbook_app;
grant update (superseded_at) on resin_recipe to castbook_app;
grant update (resolved_at, resolved_by_id, part_id, note) on part_draft to castbook_app;
grant update (udi_issuer, range_deg) on part to castbook_app;
grant update (price_minor, resin_product_id) on batch to castbook_app;
grant update (price_minor, version) on item to castbook_app;

-- ── What a new clinic starts with, for those that are there already ─────────────
insert into work_calendar (clinic_id, id, version, weekdays, closed_days, created_at)
  select id, gen_random_uuid(), 1, '[[{"fromMinute":480,"toMinute":720},{"fromMinute":780,"toMinute":1020}],[{"fromMinute":480,"toMinute":720},{"fromMinute":780,"toMinute":1020}],[{"fromMinute":480,"toMinute":720},{"fromMinute":780,"toMinute":1020}],[{"fromMinute":480,"toMinute":720},{"fromMinute":780,"toMinute":1020}],[{"fromMinute":480,"toMinute":720},{"fromMinute":780,"toMinute":1020}],[],[]]', '[]', now() from clinic;
insert into layup_rule_set (clinic_id, id, version, rules, created_at)
  select id, gen_random_uuid(), 1, '{"version":1,"topBodyMassKg":125,"fibreMassFraction":0.5,"allowances":{"brimMm":60,"endTieMm":50,"overlapMm":20,"stepMm":5},"rows":[{"name":"Nearly everybody","aboveKg":0,"upToKg":100,"functionalLevels":["K0","K1","K2","K3"],"levels":["trans_tibial","trans_femoral","ankle_disarticulation","knee_disarticulation"],"lines":[{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"medial_lateral","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"anterior_posterior","reflected":false},{"kind":"fabric","fabric":"structural_braid","layers":2,"direction":"bias","reflected":true},{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"tooling_plate"},{"kind":"fabric","fabric":"finishing_stockinette","layers":1,"direction":"along","reflected":false}]},{"name":"Heavier","aboveKg":100,"upToKg":125,"functionalLevels":["K0","K1","K2","K3"],"levels":["trans_tibial","trans_femoral","ankle_disarticulation","knee_disarticulation"],"lines":[{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"medial_lateral","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"anterior_posterior","reflected":false},{"kind":"fabric","fabric":"structural_braid","layers":3,"direction":"bias","reflected":true},{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"tooling_plate"},{"kind":"fabric","fabric":"finishing_stockinette","layers":1,"direction":"along","reflected":false}]},{"name":"Very active","aboveKg":0,"upToKg":125,"functionalLevels":["K4"],"levels":["trans_tibial","trans_femoral","ankle_disarticulation","knee_disarticulation"],"lines":[{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"medial_lateral","reflected":false},{"kind":"fabric","fabric":"carbon_strip","layers":1,"direction":"anterior_posterior","reflected":false},{"kind":"fabric","fabric":"structural_braid","layers":3,"direction":"bias","reflected":true},{"kind":"fabric","fabric":"sheer_nylon","layers":1,"direction":"along","reflected":false},{"kind":"tooling_plate"},{"kind":"fabric","fabric":"finishing_stockinette","layers":1,"direction":"along","reflected":false}]}]}', now() from clinic;
insert into bench (clinic_id, id, name, people, created_at)
  select c.id, gen_random_uuid(), b.name, b.people, now() from clinic c,
    (values ('Plaster room', 1), ('Oven', 1), ('Lamination', 1), ('Grinding', 1), ('Assembly', 2)) as b (name, people);
insert into fabric (clinic_id, id, name, material, form, areal_density_gm2, width_mm, fibre_density_gcm3, stretch_percent, created_at)
  select c.id, gen_random_uuid(), f.name, f.material, f.form, f.areal, f.width, f.density, f.stretch, now() from clinic c,
    (values
      ('Sheer nylon stockinette 60 mm', 'sheer_nylon', 'tube', 50, 60, 1.14, 150),
      ('Sheer nylon stockinette 80 mm', 'sheer_nylon', 'tube', 50, 80, 1.14, 150),
      ('Sheer nylon stockinette 100 mm', 'sheer_nylon', 'tube', 50, 100, 1.14, 150),
      ('Sheer nylon stockinette 150 mm', 'sheer_nylon', 'tube', 50, 150, 1.14, 150),
      ('Carbon strip 50 mm', 'carbon_strip', 'strip', 300, 50, 1.8, 0),
      ('Carbon braid 100 mm', 'structural_braid', 'tube', 350, 100, 1.8, 60),
      ('Carbon braid 150 mm', 'structural_braid', 'tube', 350, 150, 1.8, 60),
      ('Carbon braid 200 mm', 'structural_braid', 'tube', 350, 200, 1.8, 60),
      ('Carbon braid 250 mm', 'structural_braid', 'tube', 350, 250, 1.8, 60),
      ('Finishing stockinette 60 mm', 'finishing_stockinette', 'tube', 110, 60, 1.38, 150),
      ('Finishing stockinette 80 mm', 'finishing_stockinette', 'tube', 110, 80, 1.38, 150),
      ('Finishing stockinette 100 mm', 'finishing_stockinette', 'tube', 110, 100, 1.38, 150),
      ('Finishing stockinette 150 mm', 'finishing_stockinette', 'tube', 110, 150, 1.38, 150)
    ) as f (name, material, form, areal, width, density, stretch);
