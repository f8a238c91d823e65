-- What the auditor needs: personal values of events under a seal, and the calls of a recall (R10, R11). Older program may run: yes.
-- AlterTable
ALTER TABLE "event" ADD COLUMN     "sealed" JSONB;

-- CreateTable
CREATE TABLE "recall_call" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot" TEXT,
    "batch_id" UUID,
    "socket_id" UUID NOT NULL,
    "outcome" TEXT NOT NULL,
    "note" TEXT,
    "called_at" TIMESTAMPTZ(3) NOT NULL,
    "called_by_id" UUID NOT NULL,

    CONSTRAINT "recall_call_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateIndex
CREATE INDEX "recall_call_clinic_id_lot_idx" ON "recall_call"("clinic_id", "lot");

-- CreateIndex
CREATE INDEX "recall_call_clinic_id_batch_id_idx" ON "recall_call"("clinic_id", "batch_id");

-- AddForeignKey
ALTER TABLE "recall_call" ADD CONSTRAINT "recall_call_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "recall_call" ADD CONSTRAINT "recall_call_clinic_id_batch_id_fkey" FOREIGN KEY ("clinic_id", "batch_id") REFERENCES "batch"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "recall_call" ADD CONSTRAINT "recall_call_clinic_id_socket_id_fkey" FOREIGN KEY ("clinic_id", "socket_id") REFERENCES "socket"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "recall_call" ADD CONSTRAINT "recall_call_clinic_id_called_by_id_fkey" FOREIGN KEY ("clinic_id", "called_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- ── A call is of a lot or of a batch, and is never rewritten (R10) ───────────────
alter table recall_call
  add constraint recall_call_of_one check ((lot is null) <> (batch_id is null)),
  add constraint recall_call_outcome_word check (outcome in ('reached', 'message_left', 'not_reached', 'number_wrong'));
create trigger recall_call_not_rewritten before update on recall_call for each row execute function refuse_change();
create trigger recall_call_kept before delete on recall_call for each row execute function refuse_change();
create trigger recall_call_not_emptied before truncate on recall_call for each statement execute function refuse_change();
alter table recall_call enable row level security;
create policy recall_call_own_clinic on recall_call for all to castbook_app
  using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid);
grant select, insert on recall_call to castbook_app;
