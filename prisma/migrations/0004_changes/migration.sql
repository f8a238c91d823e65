-- Live updates by NOTIFY, and long work that does not go with the process that did it. Older program may run: yes.
-- CreateTable
CREATE TABLE "long_work" (
    "clinic_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "asked" JSONB NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "asked_by_id" UUID NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'waiting',
    "total" INTEGER,
    "done" INTEGER NOT NULL DEFAULT 0,
    "position" JSONB,
    "summary" JSONB,
    "failure" JSONB,
    "started_at" TIMESTAMPTZ(3),
    "ended_at" TIMESTAMPTZ(3),
    "cancelled_at" TIMESTAMPTZ(3),
    "cancelled_by_id" UUID,
    "taken_by" UUID,
    "lease_until" TIMESTAMPTZ(3),
    "takings" INTEGER NOT NULL DEFAULT 0,
    "pieces" INTEGER NOT NULL DEFAULT 0,

    CONSTRAINT "long_work_pkey" PRIMARY KEY ("clinic_id","id")
);

-- CreateTable
CREATE TABLE "long_work_piece" (
    "clinic_id" UUID NOT NULL,
    "long_work_id" UUID NOT NULL,
    "seq" INTEGER NOT NULL,
    "body" TEXT NOT NULL,
    "body_without_contact" TEXT,

    CONSTRAINT "long_work_piece_pkey" PRIMARY KEY ("clinic_id","long_work_id","seq")
);

-- CreateIndex
CREATE INDEX "long_work_clinic_id_asked_at_idx" ON "long_work"("clinic_id", "asked_at");

-- AddForeignKey
ALTER TABLE "long_work" ADD CONSTRAINT "long_work_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "long_work" ADD CONSTRAINT "long_work_clinic_id_asked_by_id_fkey" FOREIGN KEY ("clinic_id", "asked_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "long_work" ADD CONSTRAINT "long_work_clinic_id_cancelled_by_id_fkey" FOREIGN KEY ("clinic_id", "cancelled_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "long_work_piece" ADD CONSTRAINT "long_work_piece_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "long_work_piece" ADD CONSTRAINT "long_work_piece_clinic_id_long_work_id_fkey" FOREIGN KEY ("clinic_id", "long_work_id") REFERENCES "long_work"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- ── Live updates: what was committed is told, once for each event ───────────────
-- Ids only, under the 8,000 bytes of a payload. Who only asked (trace.read, recall.read) changed
-- nothing. A crowd of events in one act is told as one: look at everything again.
create function event_is_told() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  told record;
begin
  for told in select clinic_id, count(*) as events, max(seq) as last from written
    where kind not like '%.read' group by clinic_id
  loop
    if told.events > 50 then
      perform pg_notify('castbook_changes', json_build_object('c', told.clinic_id, 'n', told.last)::text);
    else
      perform pg_notify('castbook_changes', json_build_object('c', w.clinic_id, 'n', w.seq,
          'k', left(w.subject_kind, 100), 's', w.subject_id, 'o', w.order_id)::text)
        from (select * from written where clinic_id = told.clinic_id and kind not like '%.read' order by seq) w;
    end if;
  end loop;
  return null;
end
$$;
create trigger event_200_is_told after insert on event referencing new table as written
  for each statement execute function event_is_told();

-- ── Long work ───────────────────────────────────────────────────────────────────
alter table long_work add constraint long_work_kind_word check (kind in ('recall_of_many', 'record_export', 'parts_import'));
alter table long_work add constraint long_work_state_word check (state in ('waiting', 'running', 'done', 'cancelled', 'failed'));
alter table long_work add constraint long_work_counts check (done >= 0 and total >= 0 and done <= total and takings >= 0 and pieces >= 0);
alter table long_work add constraint long_work_ended check ((state in ('done', 'cancelled', 'failed')) = (ended_at is not null));
alter table long_work add constraint long_work_running check (state <> 'running'
  or (taken_by is not null and lease_until is not null and started_at is not null));
alter table long_work add constraint long_work_cancelled check ((cancelled_at is null) = (cancelled_by_id is null)
  and (state <> 'cancelled' or cancelled_at is not null));
alter table long_work add constraint long_work_failed check ((state = 'failed') = (failure is not null));
alter table long_work_piece add constraint long_work_piece_bounded check (seq > 0
  and octet_length(body) <= 4194304 and octet_length(body_without_contact) <= 4194304);
create index long_work_open on long_work (asked_at) where state in ('waiting', 'running');
create trigger long_work_ended_once before update on long_work for each row
  when (old.ended_at is not null) execute function refuse_rewrite();
create trigger long_work_piece_not_rewritten before update on long_work_piece for each row execute function refuse_change();
do $$
declare t text;
begin
  foreach t in array array['long_work', 'long_work_piece']
  loop
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
grant update (state, total, done, position, summary, failure, started_at, ended_at, cancelled_at, cancelled_by_id,
  taken_by, lease_until, takings, pieces) on long_work to castbook_app;

/* The third door through the wall: a process that looks for work does not know whose. It learns whose and which, no more. */
create function take_long_work(worker uuid, lease_s integer, at timestamptz) returns table (clinic_id uuid, id uuid)
language sql volatile security definer set search_path = public, pg_temp as $$
  update long_work w set state = 'running', taken_by = worker, takings = w.takings + 1,
    lease_until = clock_timestamp() + make_interval(secs => lease_s), started_at = coalesce(w.started_at, at)
  from (select o.clinic_id, o.id from long_work o
        where o.state = 'waiting' or (o.state = 'running' and o.lease_until < clock_timestamp())
        order by o.asked_at, o.id limit 1 for update skip locked) next
  where w.clinic_id = next.clinic_id and w.id = next.id
  returning w.clinic_id, w.id
$$;
revoke all on function take_long_work(uuid, integer, timestamptz) from public;
grant execute on function take_long_work(uuid, integer, timestamptz) to castbook_app;

/* Progress is told too; it is no event of the record, so it has no number. A waiting work wakes the processes. */
create function long_work_is_told() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform pg_notify('castbook_changes', json_build_object('c', new.clinic_id, 'k', 'long_work', 's', new.id, 't', new.state)::text);
  return null;
end
$$;
create trigger long_work_200_is_told after insert or update of state, done, total, cancelled_at on long_work
  for each row execute function long_work_is_told();
revoke all on function event_is_told(), long_work_is_told() from public;
