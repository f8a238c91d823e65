-- What was recorded at the bench before it arrived, and a sign-in whose answer was lost. Older program may run: yes.
-- AlterTable
ALTER TABLE "finding" ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "lock_check" ADD COLUMN     "based_on_move_ids" UUID[] DEFAULT ARRAY[]::UUID[],
ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "move" ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "operation_record" ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "refresh_token" ADD COLUMN     "came_from_id" UUID,
ADD COLUMN     "shown_again_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "resin_weighing" ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "torque_confirmation" ADD COLUMN     "based_on_move_ids" UUID[] DEFAULT ARRAY[]::UUID[],
ADD COLUMN     "bench_at" TIMESTAMPTZ(3);

-- AddForeignKey
ALTER TABLE "refresh_token" ADD CONSTRAINT "refresh_token_clinic_id_came_from_id_fkey" FOREIGN KEY ("clinic_id", "came_from_id") REFERENCES "refresh_token"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
create index refresh_token_clinic_id_came_from_id_idx on refresh_token (clinic_id, came_from_id);

-- ── Never in the future, never older than the limit (src/domain/benchTime.ts) ───
alter table finding add constraint finding_bench_at check (
  bench_at between opened_at - interval '72 hours' and opened_at);
alter table lock_check add constraint lock_check_bench_at check (
  bench_at between recorded_at - interval '72 hours' and recorded_at);
alter table move add constraint move_bench_at check (
  bench_at between moved_at - interval '72 hours' and moved_at);
alter table operation_record add constraint operation_record_bench_at check (
  bench_at between recorded_at - interval '72 hours' and recorded_at);
alter table resin_weighing add constraint resin_weighing_bench_at check (
  bench_at between recorded_at - interval '72 hours' and recorded_at and mixed_at <= bench_at);
alter table torque_confirmation add constraint torque_confirmation_bench_at check (
  bench_at between recorded_at - interval '72 hours' and recorded_at);

-- ── R4, R7: evidence that arrives late was taken on what is still there ─────────
/* As before, and the positions of a lock check. */
create or replace function evidence_positions(kind text) returns text[]
language sql immutable set search_path = public, pg_temp as $$
  select case kind
    when 'distal' then array['lock', 'lock_plate', 'pyramid', 'adapter', 'distal_screws']
    when 'lock_plate' then array['lock', 'lock_plate', 'plate_screws']
    when 'release_valve' then array['lock', 'release_valve']
    when 'lock_check' then array['lock', 'pin']
    when 'alignment' then array['pyramid', 'adapter']
  end
$$;

/* Every move to and from the positions of a kind of evidence on a socket. It only grows. */
create function moves_touching(whose uuid, socket uuid, what text) returns setof move
language sql stable set search_path = public, pg_temp as $$
  select m.* from move m
  where m.clinic_id = whose and exists (
    select 1 from place p where p.clinic_id = whose and p.socket_id = socket
      and p.position = any (evidence_positions(what)) and p.id in (m.from_place_id, m.to_place_id))
$$;

/* An instant in the clinic's zone, as it is printed. */
create function instant_words(whose uuid, at timestamptz) returns text
language sql stable set search_path = public, pg_temp as $$
  select to_char(at at time zone c.time_zone, 'Dy FMDD Mon YYYY HH24:MI') from clinic c where c.id = whose
$$;

/* Refuses evidence where its positions were touched by a move that whoever recorded it did not know. */
create function refuse_touched(whose uuid, socket uuid, what text, known uuid[], noted timestamptz) returns void
language plpgsql set search_path = public, pg_temp as $$
declare
  touched record;
begin
  select coalesce(t.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot), s.name) as item,
      p.printed_name as "movedBy", instant_words(whose, coalesce(m.bench_at, m.moved_at)) as "movedAt",
      instant_words(whose, noted) as "recordedAt" into touched
    from moves_touching(whose, socket, what) m
    join person p on p.clinic_id = m.clinic_id and p.id = m.moved_by_id
    left join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
    left join part t on t.clinic_id = i.clinic_id and t.id = i.part_id
    left join shop_tool s on s.clinic_id = m.clinic_id and s.id = m.shop_tool_id
    where m.id <> all (coalesce(known, '{}')) order by m.moved_at desc, m.id desc limit 1;
  if found then
    perform refuse('R0403', 'moved-since-recorded', to_jsonb(touched));
  end if;
end
$$;

create function torque_is_of_its_time() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  its joint%rowtype;
  newer record;
begin
  select * into its from joint where clinic_id = new.clinic_id and id = new.joint_id;
  perform refuse_touched(new.clinic_id, its.socket_id, its.kind, new.based_on_move_ids, new.bench_at);
  select its.kind || ' joint' as what, p.printed_name as by, instant_words(c.clinic_id, coalesce(c.bench_at, c.recorded_at)) as at,
      instant_words(c.clinic_id, new.bench_at) as "recordedAt" into newer
    from torque_confirmation c join person p on p.clinic_id = c.clinic_id and p.id = c.recorded_by_id
    where c.clinic_id = new.clinic_id and c.joint_id = new.joint_id and coalesce(c.bench_at, c.recorded_at) > new.bench_at
    order by c.id desc limit 1;
  if found then
    perform refuse('R0404', 'evidence-newer', to_jsonb(newer));
  end if;
  return new;
end
$$;
create trigger torque_confirmation_050_own_clinic before insert on torque_confirmation for each row execute function only_own_clinic();
create trigger torque_confirmation_200_of_its_time before insert on torque_confirmation for each row
  when (new.bench_at is not null) execute function torque_is_of_its_time();

create function lock_check_is_of_its_time() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  newer record;
begin
  perform refuse_touched(new.clinic_id, new.socket_id, 'lock_check', new.based_on_move_ids, new.bench_at);
  select 'lock' as what, p.printed_name as by, instant_words(c.clinic_id, coalesce(c.bench_at, c.recorded_at)) as at,
      instant_words(c.clinic_id, new.bench_at) as "recordedAt" into newer
    from lock_check c join person p on p.clinic_id = c.clinic_id and p.id = c.recorded_by_id
    where c.clinic_id = new.clinic_id and c.socket_id = new.socket_id and coalesce(c.bench_at, c.recorded_at) > new.bench_at
    order by c.id desc limit 1;
  if found then
    perform refuse('R0404', 'evidence-newer', to_jsonb(newer));
  end if;
  return new;
end
$$;
create trigger lock_check_050_own_clinic before insert on lock_check for each row execute function only_own_clinic();
create trigger lock_check_200_of_its_time before insert on lock_check for each row
  when (new.bench_at is not null) execute function lock_check_is_of_its_time();

-- ── R2: a move that arrives late is not older than the last move of its thing ───
create function move_is_of_its_time() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  newer record;
begin
  -- The thing is held since move_100_is_possible.
  select coalesce(t.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot), s.name) as item,
      p.printed_name as "movedBy", instant_words(m.clinic_id, coalesce(m.bench_at, m.moved_at)) as "movedAt",
      instant_words(m.clinic_id, new.bench_at) as "recordedAt" into newer
    from custody c
    join move m on m.clinic_id = c.clinic_id and m.id = c.last_move_id
    join person p on p.clinic_id = m.clinic_id and p.id = m.moved_by_id
    left join item i on i.clinic_id = m.clinic_id and i.id = m.item_id
    left join part t on t.clinic_id = i.clinic_id and t.id = i.part_id
    left join shop_tool s on s.clinic_id = m.clinic_id and s.id = m.shop_tool_id
    where c.clinic_id = new.clinic_id and c.thing_id = coalesce(new.item_id, new.shop_tool_id)
      and coalesce(m.bench_at, m.moved_at) > new.bench_at;
  if found then
    perform refuse('R0206', 'thing-moved-since', to_jsonb(newer));
  end if;
  return new;
end
$$;
create trigger move_150_of_its_time before insert on move for each row
  when (new.bench_at is not null) execute function move_is_of_its_time();
revoke all on function torque_is_of_its_time(), lock_check_is_of_its_time(), move_is_of_its_time(),
  refuse_touched(uuid, uuid, text, uuid[], timestamptz) from public;

-- ── A refresh token that is shown again because its answer was lost, once ───────
drop trigger refresh_token_ended_once on refresh_token;
create trigger refresh_token_ended_once before update on refresh_token for each row
  when ((old.used_at is not null and new.used_at is distinct from old.used_at)
    or (old.revoked_at is not null and new.revoked_at is distinct from old.revoked_at)
    or (old.shown_again_at is not null and new.shown_again_at is distinct from old.shown_again_at))
  execute function refuse_rewrite();
alter table refresh_token add constraint refresh_token_shown_again check (shown_again_at is null or used_at is not null);
grant update (shown_again_at) on refresh_token to castbook_app;
