-- The record's tables, each with the clinic in its key. Older program may run: no (first migration).
-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "clinic" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "number_prefix" TEXT NOT NULL,
    "time_zone" TEXT NOT NULL,
    "paper" TEXT NOT NULL,
    "alignment_tolerance_deg" DOUBLE PRECISION NOT NULL,
    "alignment_tolerance_mm" DOUBLE PRECISION NOT NULL,
    "releaser_may_be_sole_worker" BOOLEAN NOT NULL,
    "retention_years" INTEGER NOT NULL,
    "first_recheck_days" INTEGER NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "clinic_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "person" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "printed_name" TEXT NOT NULL,
    "password_hash" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "failed_sign_ins" INTEGER NOT NULL DEFAULT 0,
    "locked_until" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "person_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "role_grant" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "role" TEXT NOT NULL,
    "granted_at" TIMESTAMPTZ(3) NOT NULL,
    "granted_by_id" UUID,
    "ended_at" TIMESTAMPTZ(3),
    "ended_by_id" UUID,

    CONSTRAINT "role_grant_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "refresh_token" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "family_id" UUID NOT NULL,
    "token_sha256" TEXT NOT NULL,
    "issued_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "refresh_token_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "number_counter" (
    "clinic_id" UUID NOT NULL,
    "counts" TEXT NOT NULL,
    "year" INTEGER NOT NULL,
    "last" INTEGER NOT NULL,

    CONSTRAINT "number_counter_pkey" PRIMARY KEY ("clinic_id","counts","year")
);

-- CreateTable
CREATE TABLE "signature" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "printed_name" TEXT NOT NULL,
    "meaning" TEXT NOT NULL,
    "signed_at" TIMESTAMPTZ(3) NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "content" JSONB NOT NULL,
    "content_sha256" TEXT NOT NULL,

    CONSTRAINT "signature_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "patient" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "chart_number" TEXT NOT NULL,
    "given_name" TEXT NOT NULL,
    "family_name" TEXT NOT NULL,
    "name_key" TEXT NOT NULL,
    "birth_date" DATE NOT NULL,
    "phone" TEXT,
    "address" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "patient_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "body_mass" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "patient_id" UUID NOT NULL,
    "mass_kg" DOUBLE PRECISION NOT NULL,
    "measured_on" DATE NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "body_mass_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "fabrication_order" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" TEXT NOT NULL,
    "patient_id" UUID NOT NULL,
    "side" TEXT NOT NULL,
    "level" TEXT NOT NULL,
    "suspension" TEXT NOT NULL,
    "functional_level" TEXT NOT NULL,
    "stage" TEXT NOT NULL,
    "hold_reason" TEXT,
    "held_at" TIMESTAMPTZ(3),
    "promised_on" DATE,
    "liner" TEXT,
    "note" TEXT,
    "prosthetist_id" UUID,
    "opened_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_by_id" UUID NOT NULL,
    "delivered_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "fabrication_order_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "stage_change" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "seq" INTEGER NOT NULL,
    "from_stage" TEXT,
    "to_stage" TEXT NOT NULL,
    "why" TEXT,
    "changed_at" TIMESTAMPTZ(3) NOT NULL,
    "changed_by_id" UUID NOT NULL,
    "signature_id" UUID,

    CONSTRAINT "stage_change_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "mass_acknowledgement" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "up_to_kg" DOUBLE PRECISION NOT NULL,
    "signature_id" UUID NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "mass_acknowledgement_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "limb_cast" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "method" TEXT NOT NULL,
    "taken_on" DATE NOT NULL,
    "taken_by_id" UUID NOT NULL,
    "state" TEXT NOT NULL,
    "note" TEXT,
    "decided_at" TIMESTAMPTZ(3),
    "decided_by_id" UUID,
    "decision_reason" TEXT,
    "model_broken_out_at" TIMESTAMPTZ(3),
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "limb_cast_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "measure_set" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "cast_id" UUID,
    "taken_on" DATE NOT NULL,
    "taken_by_id" UUID NOT NULL,
    "limb_length_mm" DOUBLE PRECISION NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "measure_set_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "measure" (
    "clinic_id" UUID NOT NULL,
    "measure_set_id" UUID NOT NULL,
    "height_mm" DOUBLE PRECISION NOT NULL,
    "circumference_mm" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "measure_pkey" PRIMARY KEY ("clinic_id","measure_set_id","height_mm")
);

-- CreateTable
CREATE TABLE "route" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "socket_kind" TEXT NOT NULL,
    "suspension" TEXT NOT NULL,
    "version" INTEGER NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "route_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "route_operation" (
    "clinic_id" UUID NOT NULL,
    "route_id" UUID NOT NULL,
    "seq" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "checks" JSONB NOT NULL,
    "caution" TEXT,

    CONSTRAINT "route_operation_pkey" PRIMARY KEY ("clinic_id","route_id","seq")
);

-- CreateTable
CREATE TABLE "socket" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "running" INTEGER NOT NULL,
    "number" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "cast_id" UUID NOT NULL,
    "replaces_socket_id" UUID,
    "route_id" UUID NOT NULL,
    "sheet_thickness_mm" DOUBLE PRECISION,
    "cured_at" TIMESTAMPTZ(3),
    "chamber_inspected_at" TIMESTAMPTZ(3),
    "delivered_at" TIMESTAMPTZ(3),
    "retired_at" TIMESTAMPTZ(3),
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "started_by_id" UUID NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "socket_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "operation" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "seq" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "checks" JSONB NOT NULL,
    "caution" TEXT,
    "state" TEXT NOT NULL,

    CONSTRAINT "operation_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "operation_record" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "attempt" INTEGER NOT NULL,
    "outcome" TEXT NOT NULL,
    "results" JSONB NOT NULL,
    "minutes" INTEGER,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,
    "second_person_id" UUID,

    CONSTRAINT "operation_record_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "part" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "catalogue_number" TEXT NOT NULL,
    "hole_pattern" TEXT,
    "thread" TEXT,
    "pin_fit" TEXT,
    "side" TEXT,
    "rated_body_mass_kg" DOUBLE PRECISION,
    "rating_document" TEXT,
    "single_use" BOOLEAN NOT NULL,
    "least_clicks" INTEGER,
    "service_interval_days" INTEGER,
    "udi_device_identifier" TEXT,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "part_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "torque_setting" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "joint_kind" TEXT NOT NULL,
    "fastener_count" INTEGER NOT NULL,
    "fastener_size" TEXT NOT NULL,
    "property_class" TEXT NOT NULL,
    "torque_min_nm" DOUBLE PRECISION NOT NULL,
    "torque_max_nm" DOUBLE PRECISION NOT NULL,
    "threadlocker" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "revision" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID,
    "superseded_at" TIMESTAMPTZ(3),

    CONSTRAINT "torque_setting_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "item" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "serial" TEXT,
    "lot" TEXT,
    "udi" TEXT,
    "received_at" TIMESTAMPTZ(3) NOT NULL,
    "received_by_id" UUID NOT NULL,

    CONSTRAINT "item_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "shop_tool" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "serial" TEXT,
    "hole_pattern" TEXT,
    "tool_type" TEXT,
    "tool_class" TEXT,
    "min_nm" DOUBLE PRECISION,
    "max_nm" DOUBLE PRECISION,
    "out_of_service" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "shop_tool_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "calibration" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tool_id" UUID NOT NULL,
    "calibrated_on" DATE NOT NULL,
    "valid_until" DATE,
    "certificate" TEXT NOT NULL,
    "laboratory" TEXT NOT NULL,
    "deviation_percent" DOUBLE PRECISION,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "calibration_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "place" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "socket_id" UUID,
    "position" TEXT,

    CONSTRAINT "place_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "service_visit" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "opened_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_by_id" UUID NOT NULL,
    "closed_at" TIMESTAMPTZ(3),
    "closed_by_id" UUID,
    "outcome" TEXT,
    "signature_id" UUID,

    CONSTRAINT "service_visit_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "move" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "item_id" UUID,
    "shop_tool_id" UUID,
    "seq" INTEGER NOT NULL,
    "from_place_id" UUID,
    "to_place_id" UUID NOT NULL,
    "reason" TEXT NOT NULL,
    "note" TEXT,
    "transfer_id" UUID,
    "service_visit_id" UUID,
    "moved_at" TIMESTAMPTZ(3) NOT NULL,
    "moved_by_id" UUID NOT NULL,

    CONSTRAINT "move_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "custody" (
    "clinic_id" UUID NOT NULL,
    "thing_id" UUID NOT NULL,
    "item_id" UUID,
    "shop_tool_id" UUID,
    "place_id" UUID NOT NULL,
    "exclusive_place_id" UUID,
    "last_move_id" UUID NOT NULL,
    "seq" INTEGER NOT NULL,

    CONSTRAINT "custody_pkey" PRIMARY KEY ("clinic_id","thing_id")
);

-- CreateTable
CREATE TABLE "joint" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,

    CONSTRAINT "joint_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "torque_confirmation" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "joint_id" UUID NOT NULL,
    "torque_setting_id" UUID NOT NULL,
    "tool_id" UUID NOT NULL,
    "calibration_id" UUID NOT NULL,
    "threadlocker_batch_id" UUID,
    "confirms" BOOLEAN NOT NULL,
    "because" JSONB NOT NULL,
    "accepted_from_nm" DOUBLE PRECISION NOT NULL,
    "accepted_to_nm" DOUBLE PRECISION NOT NULL,
    "deviation_percent" DOUBLE PRECISION NOT NULL,
    "covers_move_ids" UUID[],
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "torque_confirmation_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "torque_reading" (
    "clinic_id" UUID NOT NULL,
    "confirmation_id" UUID NOT NULL,
    "fastener" INTEGER NOT NULL,
    "pass" INTEGER NOT NULL,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "torque_nm" DOUBLE PRECISION NOT NULL,
    "in_band" BOOLEAN NOT NULL,
    "final" BOOLEAN NOT NULL,

    CONSTRAINT "torque_reading_pkey" PRIMARY KEY ("clinic_id","confirmation_id","fastener","pass")
);

-- CreateTable
CREATE TABLE "lock_check" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "cycles" JSONB NOT NULL,
    "least_clicks" INTEGER NOT NULL,
    "passes" BOOLEAN NOT NULL,
    "because" JSONB NOT NULL,
    "covers_move_ids" UUID[],
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "recorded_by_id" UUID NOT NULL,

    CONSTRAINT "lock_check_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "alignment" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "occasion" TEXT NOT NULL,
    "flexion_deg" DOUBLE PRECISION NOT NULL,
    "adduction_deg" DOUBLE PRECISION NOT NULL,
    "anterior_offset_mm" DOUBLE PRECISION NOT NULL,
    "lateral_offset_mm" DOUBLE PRECISION NOT NULL,
    "toe_out_deg" DOUBLE PRECISION NOT NULL,
    "height_to_floor_mm" DOUBLE PRECISION NOT NULL,
    "covers_move_ids" UUID[],
    "measured_at" TIMESTAMPTZ(3) NOT NULL,
    "measured_by_id" UUID NOT NULL,

    CONSTRAINT "alignment_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "fitting" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "outcome" TEXT NOT NULL,
    "reasons" TEXT[],
    "areas" TEXT[],
    "changes" TEXT,
    "next_step" TEXT,
    "alignment_id" UUID,
    "signature_id" UUID,
    "judged_at" TIMESTAMPTZ(3) NOT NULL,
    "judged_by_id" UUID NOT NULL,

    CONSTRAINT "fitting_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "batch" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "lot" TEXT NOT NULL,
    "received_on" DATE NOT NULL,
    "opened_on" DATE,
    "expires_on" DATE,
    "quantity" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "quarantined_at" TIMESTAMPTZ(3),
    "quarantine_reason" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "created_by_id" UUID NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "batch_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "batch_use" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "batch_id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "operation_record_id" UUID,
    "torque_confirmation_id" UUID,
    "amount" DOUBLE PRECISION,
    "used_at" TIMESTAMPTZ(3) NOT NULL,
    "used_by_id" UUID NOT NULL,

    CONSTRAINT "batch_use_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "finding" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "operation_id" UUID,
    "batch_id" UUID,
    "kind" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "opened_at" TIMESTAMPTZ(3) NOT NULL,
    "opened_by_id" UUID NOT NULL,
    "disposition" TEXT,
    "disposition_reason" TEXT,
    "disposed_at" TIMESTAMPTZ(3),
    "disposed_by_id" UUID,
    "signature_id" UUID,

    CONSTRAINT "finding_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "delivery" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "order_id" UUID NOT NULL,
    "socket_id" UUID NOT NULL,
    "signature_id" UUID NOT NULL,
    "gate" JSONB NOT NULL,
    "received_by_name" TEXT NOT NULL,
    "received_by_relation" TEXT NOT NULL,
    "delivered_at" TIMESTAMPTZ(3) NOT NULL,
    "released_by_id" UUID NOT NULL,

    CONSTRAINT "delivery_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "idempotency_key" (
    "clinic_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "fingerprint" TEXT NOT NULL,
    "status" INTEGER NOT NULL,
    "answer" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "idempotency_key_pkey" PRIMARY KEY ("clinic_id","person_id","key")
);

-- CreateTable
CREATE TABLE "event" (
    "clinic_id" UUID NOT NULL,
    "seq" BIGINT NOT NULL,
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "person_id" UUID,
    "kind" TEXT NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "order_id" UUID,
    "data" JSONB NOT NULL,
    "leaf_sha256" TEXT NOT NULL,
    "chain_sha256" TEXT NOT NULL,

    CONSTRAINT "event_pkey" PRIMARY KEY ("clinic_id","seq")
);

-- CreateTable
CREATE TABLE "event_head" (
    "clinic_id" UUID NOT NULL,
    "seq" BIGINT NOT NULL,
    "chain_sha256" TEXT NOT NULL,

    CONSTRAINT "event_head_pkey" PRIMARY KEY ("clinic_id")
);

-- CreateIndex
CREATE UNIQUE INDEX "clinic_number_prefix_key" ON "clinic"("number_prefix");

-- CreateIndex
CREATE UNIQUE INDEX "person_email_key" ON "person"("email");

-- CreateIndex
CREATE INDEX "role_grant_clinic_id_person_id_idx" ON "role_grant"("clinic_id", "person_id");

-- CreateIndex
CREATE INDEX "refresh_token_clinic_id_family_id_idx" ON "refresh_token"("clinic_id", "family_id");

-- CreateIndex
CREATE UNIQUE INDEX "refresh_token_clinic_id_token_sha256_key" ON "refresh_token"("clinic_id", "token_sha256");

-- CreateIndex
CREATE INDEX "signature_clinic_id_subject_id_idx" ON "signature"("clinic_id", "subject_id");

-- CreateIndex
CREATE INDEX "patient_clinic_id_name_key_idx" ON "patient"("clinic_id", "name_key");

-- CreateIndex
CREATE INDEX "patient_clinic_id_birth_date_idx" ON "patient"("clinic_id", "birth_date");

-- CreateIndex
CREATE UNIQUE INDEX "patient_clinic_id_chart_number_key" ON "patient"("clinic_id", "chart_number");

-- CreateIndex
CREATE INDEX "body_mass_clinic_id_patient_id_measured_on_idx" ON "body_mass"("clinic_id", "patient_id", "measured_on");

-- CreateIndex
CREATE INDEX "fabrication_order_clinic_id_stage_promised_on_id_idx" ON "fabrication_order"("clinic_id", "stage", "promised_on", "id");

-- CreateIndex
CREATE INDEX "fabrication_order_clinic_id_opened_at_id_idx" ON "fabrication_order"("clinic_id", "opened_at", "id");

-- CreateIndex
CREATE INDEX "fabrication_order_clinic_id_patient_id_idx" ON "fabrication_order"("clinic_id", "patient_id");

-- CreateIndex
CREATE UNIQUE INDEX "fabrication_order_clinic_id_number_key" ON "fabrication_order"("clinic_id", "number");

-- CreateIndex
CREATE UNIQUE INDEX "stage_change_clinic_id_order_id_seq_key" ON "stage_change"("clinic_id", "order_id", "seq");

-- CreateIndex
CREATE INDEX "mass_acknowledgement_clinic_id_order_id_part_id_idx" ON "mass_acknowledgement"("clinic_id", "order_id", "part_id");

-- CreateIndex
CREATE UNIQUE INDEX "limb_cast_clinic_id_order_id_number_key" ON "limb_cast"("clinic_id", "order_id", "number");

-- CreateIndex
CREATE INDEX "measure_set_clinic_id_order_id_idx" ON "measure_set"("clinic_id", "order_id");

-- CreateIndex
CREATE INDEX "measure_set_clinic_id_cast_id_idx" ON "measure_set"("clinic_id", "cast_id");

-- CreateIndex
CREATE UNIQUE INDEX "route_clinic_id_socket_kind_suspension_version_key" ON "route"("clinic_id", "socket_kind", "suspension", "version");

-- CreateIndex
CREATE INDEX "socket_clinic_id_cast_id_idx" ON "socket"("clinic_id", "cast_id");

-- CreateIndex
CREATE UNIQUE INDEX "socket_clinic_id_number_key" ON "socket"("clinic_id", "number");

-- CreateIndex
CREATE UNIQUE INDEX "socket_clinic_id_order_id_kind_running_key" ON "socket"("clinic_id", "order_id", "kind", "running");

-- CreateIndex
CREATE UNIQUE INDEX "operation_clinic_id_socket_id_seq_key" ON "operation"("clinic_id", "socket_id", "seq");

-- CreateIndex
CREATE UNIQUE INDEX "operation_record_clinic_id_operation_id_attempt_key" ON "operation_record"("clinic_id", "operation_id", "attempt");

-- CreateIndex
CREATE UNIQUE INDEX "part_clinic_id_catalogue_number_key" ON "part"("clinic_id", "catalogue_number");

-- CreateIndex
CREATE INDEX "torque_setting_clinic_id_part_id_joint_kind_idx" ON "torque_setting"("clinic_id", "part_id", "joint_kind");

-- CreateIndex
CREATE INDEX "item_clinic_id_lot_idx" ON "item"("clinic_id", "lot");

-- CreateIndex
CREATE INDEX "item_clinic_id_serial_idx" ON "item"("clinic_id", "serial");

-- CreateIndex
CREATE UNIQUE INDEX "item_clinic_id_part_id_serial_key" ON "item"("clinic_id", "part_id", "serial");

-- CreateIndex
CREATE UNIQUE INDEX "shop_tool_clinic_id_name_key" ON "shop_tool"("clinic_id", "name");

-- CreateIndex
CREATE INDEX "calibration_clinic_id_tool_id_calibrated_on_idx" ON "calibration"("clinic_id", "tool_id", "calibrated_on");

-- CreateIndex
CREATE UNIQUE INDEX "place_clinic_id_socket_id_position_key" ON "place"("clinic_id", "socket_id", "position");

-- CreateIndex
CREATE UNIQUE INDEX "place_clinic_id_name_key" ON "place"("clinic_id", "name");

-- CreateIndex
CREATE INDEX "service_visit_clinic_id_order_id_idx" ON "service_visit"("clinic_id", "order_id");

-- CreateIndex
CREATE INDEX "service_visit_clinic_id_socket_id_idx" ON "service_visit"("clinic_id", "socket_id");

-- CreateIndex
CREATE INDEX "move_clinic_id_to_place_id_idx" ON "move"("clinic_id", "to_place_id");

-- CreateIndex
CREATE INDEX "move_clinic_id_from_place_id_idx" ON "move"("clinic_id", "from_place_id");

-- CreateIndex
CREATE UNIQUE INDEX "move_clinic_id_item_id_seq_key" ON "move"("clinic_id", "item_id", "seq");

-- CreateIndex
CREATE UNIQUE INDEX "move_clinic_id_shop_tool_id_seq_key" ON "move"("clinic_id", "shop_tool_id", "seq");

-- CreateIndex
CREATE INDEX "custody_clinic_id_place_id_idx" ON "custody"("clinic_id", "place_id");

-- CreateIndex
CREATE UNIQUE INDEX "custody_clinic_id_exclusive_place_id_key" ON "custody"("clinic_id", "exclusive_place_id");

-- CreateIndex
CREATE UNIQUE INDEX "joint_clinic_id_socket_id_kind_key" ON "joint"("clinic_id", "socket_id", "kind");

-- CreateIndex
CREATE INDEX "torque_confirmation_clinic_id_joint_id_recorded_at_idx" ON "torque_confirmation"("clinic_id", "joint_id", "recorded_at");

-- CreateIndex
CREATE INDEX "torque_confirmation_clinic_id_tool_id_recorded_at_idx" ON "torque_confirmation"("clinic_id", "tool_id", "recorded_at");

-- CreateIndex
CREATE INDEX "lock_check_clinic_id_socket_id_recorded_at_idx" ON "lock_check"("clinic_id", "socket_id", "recorded_at");

-- CreateIndex
CREATE INDEX "alignment_clinic_id_socket_id_measured_at_idx" ON "alignment"("clinic_id", "socket_id", "measured_at");

-- CreateIndex
CREATE INDEX "fitting_clinic_id_socket_id_judged_at_idx" ON "fitting"("clinic_id", "socket_id", "judged_at");

-- CreateIndex
CREATE UNIQUE INDEX "batch_clinic_id_kind_lot_key" ON "batch"("clinic_id", "kind", "lot");

-- CreateIndex
CREATE INDEX "batch_use_clinic_id_batch_id_idx" ON "batch_use"("clinic_id", "batch_id");

-- CreateIndex
CREATE INDEX "batch_use_clinic_id_socket_id_idx" ON "batch_use"("clinic_id", "socket_id");

-- CreateIndex
CREATE INDEX "finding_clinic_id_socket_id_idx" ON "finding"("clinic_id", "socket_id");

-- CreateIndex
CREATE INDEX "delivery_clinic_id_order_id_idx" ON "delivery"("clinic_id", "order_id");

-- CreateIndex
CREATE UNIQUE INDEX "delivery_clinic_id_socket_id_key" ON "delivery"("clinic_id", "socket_id");

-- CreateIndex
CREATE INDEX "event_clinic_id_subject_id_seq_idx" ON "event"("clinic_id", "subject_id", "seq");

-- CreateIndex
CREATE INDEX "event_clinic_id_order_id_seq_idx" ON "event"("clinic_id", "order_id", "seq");

-- CreateIndex
CREATE INDEX "move_clinic_id_moved_by_id_idx" ON "move"("clinic_id", "moved_by_id");

-- CreateIndex
CREATE INDEX "operation_record_clinic_id_recorded_by_id_idx" ON "operation_record"("clinic_id", "recorded_by_id");

-- AddForeignKey
ALTER TABLE "person" ADD CONSTRAINT "person_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "role_grant" ADD CONSTRAINT "role_grant_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "role_grant" ADD CONSTRAINT "role_grant_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "role_grant" ADD CONSTRAINT "role_grant_clinic_id_granted_by_id_fkey" FOREIGN KEY ("clinic_id", "granted_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "role_grant" ADD CONSTRAINT "role_grant_clinic_id_ended_by_id_fkey" FOREIGN KEY ("clinic_id", "ended_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "refresh_token" ADD CONSTRAINT "refresh_token_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "refresh_token" ADD CONSTRAINT "refresh_token_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "number_counter" ADD CONSTRAINT "number_counter_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "signature" ADD CONSTRAINT "signature_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "signature" ADD CONSTRAINT "signature_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "patient" ADD CONSTRAINT "patient_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "patient" ADD CONSTRAINT "patient_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "body_mass" ADD CONSTRAINT "body_mass_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "body_mass" ADD CONSTRAINT "body_mass_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "body_mass" ADD CONSTRAINT "body_mass_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fabrication_order" ADD CONSTRAINT "fabrication_order_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fabrication_order" ADD CONSTRAINT "fabrication_order_clinic_id_patient_id_fkey" FOREIGN KEY ("clinic_id", "patient_id") REFERENCES "patient"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fabrication_order" ADD CONSTRAINT "fabrication_order_clinic_id_prosthetist_id_fkey" FOREIGN KEY ("clinic_id", "prosthetist_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fabrication_order" ADD CONSTRAINT "fabrication_order_clinic_id_opened_by_id_fkey" FOREIGN KEY ("clinic_id", "opened_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stage_change" ADD CONSTRAINT "stage_change_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stage_change" ADD CONSTRAINT "stage_change_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stage_change" ADD CONSTRAINT "stage_change_clinic_id_changed_by_id_fkey" FOREIGN KEY ("clinic_id", "changed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stage_change" ADD CONSTRAINT "stage_change_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mass_acknowledgement" ADD CONSTRAINT "mass_acknowledgement_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mass_acknowledgement" ADD CONSTRAINT "mass_acknowledgement_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mass_acknowledgement" ADD CONSTRAINT "mass_acknowledgement_clinic_id_part_id_fkey" FOREIGN KEY ("clinic_id", "part_id") REFERENCES "part"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mass_acknowledgement" ADD CONSTRAINT "mass_acknowledgement_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mass_acknowledgement" ADD CONSTRAINT "mass_acknowledgement_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "limb_cast" ADD CONSTRAINT "limb_cast_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "limb_cast" ADD CONSTRAINT "limb_cast_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "limb_cast" ADD CONSTRAINT "limb_cast_clinic_id_taken_by_id_fkey" FOREIGN KEY ("clinic_id", "taken_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "limb_cast" ADD CONSTRAINT "limb_cast_clinic_id_decided_by_id_fkey" FOREIGN KEY ("clinic_id", "decided_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure_set" ADD CONSTRAINT "measure_set_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure_set" ADD CONSTRAINT "measure_set_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure_set" ADD CONSTRAINT "measure_set_clinic_id_cast_id_fkey" FOREIGN KEY ("clinic_id", "cast_id") REFERENCES "limb_cast"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure_set" ADD CONSTRAINT "measure_set_clinic_id_taken_by_id_fkey" FOREIGN KEY ("clinic_id", "taken_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure" ADD CONSTRAINT "measure_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "measure" ADD CONSTRAINT "measure_clinic_id_measure_set_id_fkey" FOREIGN KEY ("clinic_id", "measure_set_id") REFERENCES "measure_set"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "route" ADD CONSTRAINT "route_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "route" ADD CONSTRAINT "route_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "route_operation" ADD CONSTRAINT "route_operation_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "route_operation" ADD CONSTRAINT "route_operation_clinic_id_route_id_fkey" FOREIGN KEY ("clinic_id", "route_id") REFERENCES "route"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_cast_id_fkey" FOREIGN KEY ("clinic_id", "cast_id") REFERENCES "limb_cast"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_replaces_socket_id_fkey" FOREIGN KEY ("clinic_id", "replaces_socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_route_id_fkey" FOREIGN KEY ("clinic_id", "route_id") REFERENCES "route"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "socket" ADD CONSTRAINT "socket_clinic_id_started_by_id_fkey" FOREIGN KEY ("clinic_id", "started_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation" ADD CONSTRAINT "operation_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation" ADD CONSTRAINT "operation_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation_record" ADD CONSTRAINT "operation_record_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation_record" ADD CONSTRAINT "operation_record_clinic_id_operation_id_fkey" FOREIGN KEY ("clinic_id", "operation_id") REFERENCES "operation"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation_record" ADD CONSTRAINT "operation_record_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "operation_record" ADD CONSTRAINT "operation_record_clinic_id_second_person_id_fkey" FOREIGN KEY ("clinic_id", "second_person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part" ADD CONSTRAINT "part_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_setting" ADD CONSTRAINT "torque_setting_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_setting" ADD CONSTRAINT "torque_setting_clinic_id_part_id_fkey" FOREIGN KEY ("clinic_id", "part_id") REFERENCES "part"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_setting" ADD CONSTRAINT "torque_setting_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "item" ADD CONSTRAINT "item_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "item" ADD CONSTRAINT "item_clinic_id_part_id_fkey" FOREIGN KEY ("clinic_id", "part_id") REFERENCES "part"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "item" ADD CONSTRAINT "item_clinic_id_received_by_id_fkey" FOREIGN KEY ("clinic_id", "received_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "shop_tool" ADD CONSTRAINT "shop_tool_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_clinic_id_tool_id_fkey" FOREIGN KEY ("clinic_id", "tool_id") REFERENCES "shop_tool"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "place" ADD CONSTRAINT "place_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "place" ADD CONSTRAINT "place_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_opened_by_id_fkey" FOREIGN KEY ("clinic_id", "opened_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_closed_by_id_fkey" FOREIGN KEY ("clinic_id", "closed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "service_visit" ADD CONSTRAINT "service_visit_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_item_id_fkey" FOREIGN KEY ("clinic_id", "item_id") REFERENCES "item"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_shop_tool_id_fkey" FOREIGN KEY ("clinic_id", "shop_tool_id") REFERENCES "shop_tool"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_from_place_id_fkey" FOREIGN KEY ("clinic_id", "from_place_id") REFERENCES "place"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_to_place_id_fkey" FOREIGN KEY ("clinic_id", "to_place_id") REFERENCES "place"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_service_visit_id_fkey" FOREIGN KEY ("clinic_id", "service_visit_id") REFERENCES "service_visit"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "move" ADD CONSTRAINT "move_clinic_id_moved_by_id_fkey" FOREIGN KEY ("clinic_id", "moved_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_clinic_id_item_id_fkey" FOREIGN KEY ("clinic_id", "item_id") REFERENCES "item"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_clinic_id_shop_tool_id_fkey" FOREIGN KEY ("clinic_id", "shop_tool_id") REFERENCES "shop_tool"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_clinic_id_place_id_fkey" FOREIGN KEY ("clinic_id", "place_id") REFERENCES "place"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "custody" ADD CONSTRAINT "custody_clinic_id_last_move_id_fkey" FOREIGN KEY ("clinic_id", "last_move_id") REFERENCES "move"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "joint" ADD CONSTRAINT "joint_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "joint" ADD CONSTRAINT "joint_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_joint_id_fkey" FOREIGN KEY ("clinic_id", "joint_id") REFERENCES "joint"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_torque_setting_id_fkey" FOREIGN KEY ("clinic_id", "torque_setting_id") REFERENCES "torque_setting"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_tool_id_fkey" FOREIGN KEY ("clinic_id", "tool_id") REFERENCES "shop_tool"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_calibration_id_fkey" FOREIGN KEY ("clinic_id", "calibration_id") REFERENCES "calibration"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_threadlocker_batch_id_fkey" FOREIGN KEY ("clinic_id", "threadlocker_batch_id") REFERENCES "batch"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_confirmation" ADD CONSTRAINT "torque_confirmation_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_reading" ADD CONSTRAINT "torque_reading_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "torque_reading" ADD CONSTRAINT "torque_reading_clinic_id_confirmation_id_fkey" FOREIGN KEY ("clinic_id", "confirmation_id") REFERENCES "torque_confirmation"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lock_check" ADD CONSTRAINT "lock_check_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lock_check" ADD CONSTRAINT "lock_check_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lock_check" ADD CONSTRAINT "lock_check_clinic_id_recorded_by_id_fkey" FOREIGN KEY ("clinic_id", "recorded_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "alignment" ADD CONSTRAINT "alignment_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "alignment" ADD CONSTRAINT "alignment_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "alignment" ADD CONSTRAINT "alignment_clinic_id_measured_by_id_fkey" FOREIGN KEY ("clinic_id", "measured_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fitting" ADD CONSTRAINT "fitting_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fitting" ADD CONSTRAINT "fitting_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fitting" ADD CONSTRAINT "fitting_clinic_id_alignment_id_fkey" FOREIGN KEY ("clinic_id", "alignment_id") REFERENCES "alignment"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fitting" ADD CONSTRAINT "fitting_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fitting" ADD CONSTRAINT "fitting_clinic_id_judged_by_id_fkey" FOREIGN KEY ("clinic_id", "judged_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch" ADD CONSTRAINT "batch_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch" ADD CONSTRAINT "batch_clinic_id_created_by_id_fkey" FOREIGN KEY ("clinic_id", "created_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_batch_id_fkey" FOREIGN KEY ("clinic_id", "batch_id") REFERENCES "batch"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_operation_record_id_fkey" FOREIGN KEY ("clinic_id", "operation_record_id") REFERENCES "operation_record"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_torque_confirmation_id_fkey" FOREIGN KEY ("clinic_id", "torque_confirmation_id") REFERENCES "torque_confirmation"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "batch_use" ADD CONSTRAINT "batch_use_clinic_id_used_by_id_fkey" FOREIGN KEY ("clinic_id", "used_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_batch_id_fkey" FOREIGN KEY ("clinic_id", "batch_id") REFERENCES "batch"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_operation_id_fkey" FOREIGN KEY ("clinic_id", "operation_id") REFERENCES "operation"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_opened_by_id_fkey" FOREIGN KEY ("clinic_id", "opened_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_disposed_by_id_fkey" FOREIGN KEY ("clinic_id", "disposed_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "delivery" ADD CONSTRAINT "delivery_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "delivery" ADD CONSTRAINT "delivery_clinic_id_order_id_fkey" FOREIGN KEY ("clinic_id", "order_id") REFERENCES "fabrication_order"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "delivery" ADD CONSTRAINT "delivery_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "delivery" ADD CONSTRAINT "delivery_clinic_id_signature_id_fkey" FOREIGN KEY ("clinic_id", "signature_id") REFERENCES "signature"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "delivery" ADD CONSTRAINT "delivery_clinic_id_released_by_id_fkey" FOREIGN KEY ("clinic_id", "released_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "idempotency_key" ADD CONSTRAINT "idempotency_key_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "idempotency_key" ADD CONSTRAINT "idempotency_key_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "event" ADD CONSTRAINT "event_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "event" ADD CONSTRAINT "event_clinic_id_person_id_fkey" FOREIGN KEY ("clinic_id", "person_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "event_head" ADD CONSTRAINT "event_head_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

