-- The rules that must never break, where no program can go round them. Older program may run: no.
--
-- Every refusal raised here has an SQLSTATE of the form R + rule number + running
-- number, and a message that begins with its code in the catalogue of refusals,
-- followed by its facts as JSON; src/store/failures.ts turns it into that refusal.

-- ── The application's role: owns nothing, bypasses nothing ──────────────────────
do $$
begin
  create role castbook_app nologin nosuperuser nocreatedb nocreaterole nobypassrls;
exception when duplicate_object or unique_violation then
  null; -- roles belong to the whole server: another database's migration made it
end
$$;
do $$
begin
  if not pg_has_role(current_user, 'castbook_app', 'member') then
    execute format('grant castbook_app to %I', current_user);
  end if;
end
$$;
grant usage on schema public to castbook_app;
grant select, insert on all tables in schema public to castbook_app;
revoke insert on custody, event_head, clinic from castbook_app;
-- Readiness asks which migrations there are; only the owner writes them.
revoke insert on _prisma_migrations from castbook_app;

-- ── Words: closed lists (a test compares them with src/domain/words.ts) ───────
alter table role_grant add constraint role_grant_role_word check (role in ('front_desk', 'technician', 'prosthetist', 'auditor', 'administrator'));
alter table fabrication_order add constraint fabrication_order_side_word check (side in ('left', 'right'));
alter table fabrication_order add constraint fabrication_order_level_word check (level in ('trans_tibial', 'trans_femoral', 'ankle_disarticulation', 'knee_disarticulation'));
alter table fabrication_order add constraint fabrication_order_suspension_word check (suspension in ('pin_lock', 'suction', 'vacuum', 'lanyard', 'sleeve'));
alter table fabrication_order add constraint fabrication_order_functional_level_word check (functional_level in ('K0', 'K1', 'K2', 'K3', 'K4'));
alter table fabrication_order add constraint fabrication_order_stage_word check (stage in ('casting', 'check_fitting', 'lamination', 'delivery', 'delivered', 'cancelled'));
alter table fabrication_order add constraint fabrication_order_hold_reason_word check (hold_reason in ('authorization_awaited', 'parts_awaited', 'patient_not_ready', 'limb_volume_not_stable'));
alter table stage_change add constraint stage_change_from_stage_word check (from_stage in ('casting', 'check_fitting', 'lamination', 'delivery', 'delivered', 'cancelled'));
alter table stage_change add constraint stage_change_to_stage_word check (to_stage in ('casting', 'check_fitting', 'lamination', 'delivery', 'delivered', 'cancelled'));
alter table socket add constraint socket_kind_word check (kind in ('check', 'definitive'));
alter table socket add constraint socket_state_word check (state in ('in_work', 'accepted', 'rejected', 'delivered', 'retired', 'scrapped'));
alter table limb_cast add constraint limb_cast_state_word check (state in ('taken', 'accepted', 'rejected'));
alter table route add constraint route_socket_kind_word check (socket_kind in ('check', 'definitive'));
alter table route add constraint route_suspension_word check (suspension in ('pin_lock', 'suction', 'vacuum', 'lanyard', 'sleeve'));
alter table part add constraint part_kind_word check (kind in ('lock', 'lock_plate', 'release_valve', 'spring', 'pin', 'pyramid', 'four_hole_adapter', 'screw_set'));
alter table part add constraint part_side_word check (side in ('left', 'right'));
alter table shop_tool add constraint shop_tool_kind_word check (kind in ('fabrication_dummy', 'tooling_plate', 'torque_tool'));
alter table shop_tool add constraint shop_tool_tool_type_word check (tool_type in ('indicating', 'setting'));
alter table shop_tool add constraint shop_tool_tool_class_word check (tool_class in ('A', 'B', 'C', 'D', 'E', 'F', 'G'));
alter table place add constraint place_kind_word check (kind in ('receiving', 'bin', 'socket_position', 'bench', 'quarantine', 'scrap'));
alter table place add constraint place_position_word check (position in ('lock', 'lock_plate', 'release_valve', 'lock_spring', 'pin', 'pyramid', 'adapter', 'distal_screws', 'plate_screws', 'dummy', 'tooling_plate'));
alter table move add constraint move_reason_word check (reason in ('received', 'issued', 'transferred', 'taken_out_for_trimming', 'put_back', 'returned_to_bin', 'replaced_in_service', 'quarantined', 'released_from_quarantine', 'scrapped', 'recalled', 'mounted_for_lamination', 'pulled_after_cure', 'stock_taken'));
alter table joint add constraint joint_kind_word check (kind in ('distal', 'lock_plate', 'release_valve'));
alter table torque_setting add constraint torque_setting_joint_kind_word check (joint_kind in ('distal', 'lock_plate', 'release_valve'));
alter table torque_setting add constraint torque_setting_fastener_size_word check (fastener_size in ('M4', 'M5', 'M6', 'M8', 'M10'));
alter table torque_setting add constraint torque_setting_property_class_word check (property_class in ('8.8', '10.9', '12.9', 'A2-50', 'A2-70', 'A2-80', 'A4-50', 'A4-70', 'A4-80'));
alter table torque_reading add constraint torque_reading_unit_word check (unit in ('N.m', 'lbf.in', 'lbf.ft'));
alter table batch add constraint batch_kind_word check (kind in ('resin', 'hardener', 'pigment', 'fabric', 'threadlocker', 'parting_agent', 'thermoplastic_sheet', 'casting_material'));
alter table batch add constraint batch_unit_word check (unit in ('g', 'mL', 'm', 'piece'));
alter table operation add constraint operation_state_word check (state in ('waiting', 'stopped', 'done', 'left_out'));
alter table finding add constraint finding_kind_word check (kind in ('void', 'dry_fibre', 'resin_in_lock_chamber', 'cross_thread', 'crack', 'rattle', 'skin_redness', 'out_of_limits', 'off_ratio', 'over_rated_mass', 'recalled_part', 'other'));
alter table finding add constraint finding_disposition_word check (disposition in ('rework', 'remake', 'accept_as_is', 'scrap'));
alter table fitting add constraint fitting_outcome_word check (outcome in ('accepted', 'rejected'));
alter table fitting add constraint fitting_next_step_word check (next_step in ('same_socket_changed', 'another_check_socket', 'new_cast'));
alter table signature add constraint signature_meaning_word check (meaning in ('fit_accepted', 'check_fitting_skipped', 'finding_accepted_as_is', 'alignment_difference_accepted', 'mass_near_rating_acknowledged', 'delivery_released', 'service_released'));
alter table service_visit add constraint service_visit_kind_word check (kind in ('follow_up', 'adjustment', 're_torque', 'part_replaced'));
alter table fitting add constraint fitting_reasons_word check (reasons <@ array['too_tight', 'too_loose', 'pistoning', 'skin_redness', 'distal_end_contact', 'no_distal_contact', 'trim_line_high', 'trim_line_low', 'rotation', 'alignment', 'pain', 'other']::text[]);
alter table fitting add constraint fitting_areas_word check (areas <@ array['patellar_tendon', 'tibial_crest', 'tibial_end', 'fibular_head', 'fibular_end', 'medial_tibial_flare', 'popliteal', 'distal_end', 'proximal_brim', 'ischium', 'adductor_roll', 'femoral_end', 'whole_limb']::text[]);

-- ── Shapes ──────────────────────────────────────────────────────────────────────
alter table clinic
  add constraint clinic_prefix check (number_prefix ~ '^[A-Z]{2,4}$'),
  add constraint clinic_paper check (paper in ('A4', 'Letter')),
  add constraint clinic_retention check (retention_years >= 7),
  add constraint clinic_tolerance check (alignment_tolerance_deg > 0 and alignment_tolerance_mm > 0),
  add constraint clinic_recheck check (first_recheck_days between 1 and 365);
alter table person add constraint person_email_lower check (email = lower(email));
alter table body_mass add constraint body_mass_human check (mass_kg between 2 and 350);
alter table measure add constraint measure_human check (height_mm between 0 and 1200 and circumference_mm between 50 and 1200);
alter table fabrication_order add constraint fabrication_order_hold check ((hold_reason is null) = (held_at is null));
alter table socket
  add constraint socket_check_only check (kind = 'check' or sheet_thickness_mm is null),
  add constraint socket_definitive_only check (kind = 'definitive' or (cured_at is null and chamber_inspected_at is null and delivered_at is null and state <> 'delivered')),
  add constraint socket_chamber_after_cure check (chamber_inspected_at is null or cured_at is not null),
  add constraint socket_not_itself check (replaces_socket_id <> id);
alter table part
  add constraint part_rated check (kind not in ('lock', 'lock_plate', 'pin', 'pyramid', 'four_hole_adapter') or rated_body_mass_kg is not null),
  add constraint part_rated_human check (rated_body_mass_kg between 10 and 350);
alter table item add constraint item_identified check (serial is not null or lot is not null);
alter table shop_tool add constraint shop_tool_torque check (
  (kind = 'torque_tool') = (tool_type is not null and tool_class is not null and min_nm is not null and max_nm is not null)
  and (max_nm is null or (min_nm > 0 and max_nm > min_nm)));
alter table place add constraint place_shape check (
  (kind = 'socket_position') = (socket_id is not null and position is not null)
  and (socket_id is null) = (position is null));
alter table move
  add constraint move_one_thing check ((item_id is null) <> (shop_tool_id is null)),
  add constraint move_somewhere check (from_place_id <> to_place_id);
alter table custody add constraint custody_one_thing check (
  (item_id is null) <> (shop_tool_id is null) and thing_id = coalesce(item_id, shop_tool_id));
alter table torque_setting add constraint torque_setting_band check (
  torque_min_nm > 0 and torque_max_nm >= torque_min_nm and fastener_count between 1 and 8
  and threadlocker in ('none', 'required'));
alter table batch add constraint batch_quantity check (quantity > 0);
alter table batch_use add constraint batch_use_amount check (amount > 0);
alter table finding add constraint finding_disposed check (
  (disposition is null) = (disposed_at is null) and (disposition is null) = (disposed_by_id is null)
  and (disposition is distinct from 'accept_as_is' or (signature_id is not null and disposition_reason is not null)));
alter table service_visit add constraint service_visit_closed check (
  (closed_at is null) = (closed_by_id is null) and (closed_at is null or signature_id is not null));
create unique index service_visit_one_open on service_visit (clinic_id, socket_id) where closed_at is null;
create unique index torque_setting_one_current on torque_setting (clinic_id, part_id, joint_kind) where superseded_at is null;
create unique index route_one_current on route (clinic_id, socket_kind, suspension) where superseded_at is null;
create unique index role_grant_one_current on role_grant (clinic_id, person_id, role) where ended_at is null;

-- ── R1, R2, R6, R15: the ledger of custody ──────────────────────────────────────

/* Raises a refusal of the catalogue: SQLSTATE, code, facts. */
create function refuse(state text, code text, facts jsonb) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  raise exception using errcode = state, message = code || ' ' || facts::text;
end
$$;

/* What kind of thing a socket's position takes. */
create function position_takes(pos text) returns text
language sql immutable set search_path = public, pg_temp as $$
  select case pos
    when 'lock' then 'lock'
    when 'lock_plate' then 'lock_plate'
    when 'release_valve' then 'release_valve'
    when 'lock_spring' then 'spring'
    when 'pin' then 'pin'
    when 'pyramid' then 'pyramid'
    when 'adapter' then 'four_hole_adapter'
    when 'distal_screws' then 'screw_set'
    when 'plate_screws' then 'screw_set'
    when 'dummy' then 'fabrication_dummy'
    when 'tooling_plate' then 'tooling_plate'
  end
$$;

/*
 * Before a move is written: the thing is locked, it must be where the move says
 * (R2), the target must be free and take such a thing (R1, R3), single-use parts
 * never see a second socket (R2), the definitive socket must be ready (R6), and
 * what a patient wears is moved only in an open service visit (R15).
 */
create function move_is_possible() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  thing uuid := coalesce(new.item_id, new.shop_tool_id);
  label text;
  thing_kind text;
  single boolean := false;
  here custody%rowtype;
  source place%rowtype;
  target place%rowtype;
  touched socket%rowtype;
begin
  if new.item_id is not null then
    perform 1 from item where clinic_id = new.clinic_id and id = new.item_id for update;
    select p.kind, p.single_use, p.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) into thing_kind, single, label
      from item i join part p on p.clinic_id = i.clinic_id and p.id = i.part_id
      where i.clinic_id = new.clinic_id and i.id = new.item_id;
  else
    perform 1 from shop_tool where clinic_id = new.clinic_id and id = new.shop_tool_id for update;
    select kind, name into thing_kind, label from shop_tool where clinic_id = new.clinic_id and id = new.shop_tool_id;
  end if;
  if thing_kind is null then
    perform refuse('R0203', 'thing-unknown', jsonb_build_object('thing', thing));
  end if;

  select * into here from custody where clinic_id = new.clinic_id and thing_id = thing;
  if here.place_id is distinct from new.from_place_id then
    perform refuse('R0101', 'item-is-elsewhere', jsonb_build_object(
      'item', label,
      'expected', (select name from place where clinic_id = new.clinic_id and id = new.from_place_id),
      'place', (select name from place where clinic_id = new.clinic_id and id = here.place_id),
      'movedBy', m.printed_name, 'movedAt', to_char(m.moved_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"')))
      from (select 1) one left join lateral (
        select p.printed_name, v.moved_at from move v join person p on p.clinic_id = v.clinic_id and p.id = v.moved_by_id
        where v.clinic_id = new.clinic_id and v.id = here.last_move_id) m on true;
  end if;
  new.seq := coalesce(here.seq, 0) + 1;

  select * into source from place where clinic_id = new.clinic_id and id = new.from_place_id;
  select * into target from place where clinic_id = new.clinic_id and id = new.to_place_id;
  if source.kind = 'scrap' then
    perform refuse('R0204', 'scrap-stays-scrap', jsonb_build_object('item', label));
  end if;

  if source.kind = 'quarantine' and target.kind not in ('bin', 'scrap') then
    perform refuse('R0205', 'bin-only-from-here', jsonb_build_object('item', label, 'place', target.name));
  end if;

  -- Sockets are locked in one order, so that a delivery under way and a move cannot pass each other.
  for touched in
    select * from socket where clinic_id = new.clinic_id and id in (source.socket_id, target.socket_id)
    order by id for no key update
  loop
    if touched.state = 'delivered' and not exists (
      select 1 from service_visit v where v.clinic_id = new.clinic_id and v.id = new.service_visit_id
        and v.socket_id = touched.id and v.closed_at is null)
    then
      perform refuse('R1501', 'worn-moves-in-service-only', jsonb_build_object('socket', touched.number));
    end if;
    if touched.id is not distinct from target.socket_id then
      if touched.state in ('retired', 'scrapped') then
        perform refuse('R0901', 'socket-is-retired', jsonb_build_object('socket', touched.number, 'state', touched.state));
      end if;
      if touched.kind = 'definitive' and new.item_id is not null and (
        touched.cured_at is null or touched.chamber_inspected_at is null or exists (
          select 1 from custody c join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
          where p.clinic_id = new.clinic_id and p.socket_id = touched.id and p.position = 'dummy'))
      then
        perform refuse('R0601', 'definitive-not-ready', jsonb_build_object('socket', touched.number));
      end if;
    end if;
  end loop;

  if target.kind = 'socket_position' then
    if position_takes(target.position) is distinct from thing_kind then
      perform refuse('R0301', 'position-takes-another-kind',
        jsonb_build_object('position', target.position, 'takes', position_takes(target.position), 'kind', thing_kind));
    end if;
    if exists (select 1 from custody where clinic_id = new.clinic_id and exclusive_place_id = target.id) then
      perform refuse('R0102', 'position-is-occupied', jsonb_build_object('place', target.name, 'holds', coalesce(
        (select t.name from custody c join shop_tool t on t.clinic_id = c.clinic_id and t.id = c.shop_tool_id
          where c.clinic_id = new.clinic_id and c.exclusive_place_id = target.id),
        (select p.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot)
          from custody c join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
          join part p on p.clinic_id = i.clinic_id and p.id = i.part_id
          where c.clinic_id = new.clinic_id and c.exclusive_place_id = target.id))));
    end if;
    if single and exists (
      select 1 from move m join place p on p.clinic_id = m.clinic_id and p.id = m.to_place_id
      where m.clinic_id = new.clinic_id and m.item_id = new.item_id
        and p.kind = 'socket_position' and p.socket_id <> target.socket_id)
    then
      perform refuse('R0202', 'single-use-again', jsonb_build_object('item', label));
    end if;
  end if;
  return new;
end
$$;
/*
 * R12 before all else: the rules of a move tell what they found, and policies are
 * asked only after them. Nobody is told of another clinic's things.
 */
create function only_own_clinic() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if current_user = 'castbook_app'
    and new.clinic_id is distinct from nullif(current_setting('app.clinic', true), '')::uuid
  then
    raise exception using errcode = '42501', message = 'a row of another clinic cannot be written to ' || tg_table_name;
  end if;
  return new;
end
$$;
create trigger move_050_own_clinic before insert on move for each row execute function only_own_clinic();
create trigger move_100_is_possible before insert on move for each row execute function move_is_possible();

/* After a move is written: custody follows. Nothing else may write custody. */
create function move_changes_custody() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  insert into custody (clinic_id, thing_id, item_id, shop_tool_id, place_id, exclusive_place_id, last_move_id, seq)
  select new.clinic_id, coalesce(new.item_id, new.shop_tool_id), new.item_id, new.shop_tool_id, p.id,
    case when p.kind = 'socket_position' then p.id end, new.id, new.seq
  from place p where p.clinic_id = new.clinic_id and p.id = new.to_place_id
  on conflict (clinic_id, thing_id) do update set
    place_id = excluded.place_id, exclusive_place_id = excluded.exclusive_place_id,
    last_move_id = excluded.last_move_id, seq = excluded.seq;
  return null;
end
$$;
create trigger move_900_changes_custody after insert on move for each row execute function move_changes_custody();

-- ── R4, R14: evidence ends when anything leaves what it was taken on ────────────

/* The positions that a joint, or an alignment, is about. */
create function evidence_positions(kind text) returns text[]
language sql immutable set search_path = public, pg_temp as $$
  select case kind
    when 'distal' then array['lock', 'lock_plate', 'pyramid', 'adapter', 'distal_screws']
    when 'lock_plate' then array['lock', 'lock_plate', 'plate_screws']
    when 'release_valve' then array['lock', 'release_valve']
    when 'alignment' then array['pyramid', 'adapter']
  end
$$;

/* How often anything has left these positions of a socket. It only grows, so it needs no clock. */
create function departures(whose uuid, socket uuid, what text) returns integer
language sql stable set search_path = public, pg_temp as $$
  select count(*)::integer from place p
  join move m on m.clinic_id = p.clinic_id and m.from_place_id = p.id
  where p.clinic_id = whose and p.socket_id = socket and p.position = any (evidence_positions(what))
$$;

alter table torque_confirmation add column departures_before integer not null default 0;
alter table alignment add column departures_before integer not null default 0;

create function torque_counts_departures() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  new.departures_before := coalesce((select departures(j.clinic_id, j.socket_id, j.kind) from joint j
    where j.clinic_id = new.clinic_id and j.id = new.joint_id), 0);
  return new;
end
$$;
create trigger torque_confirmation_100_counts_departures before insert on torque_confirmation
  for each row execute function torque_counts_departures();
create function alignment_counts_departures() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  new.departures_before := departures(new.clinic_id, new.socket_id, 'alignment');
  return new;
end
$$;
create trigger alignment_100_counts_departures before insert on alignment
  for each row execute function alignment_counts_departures();

-- ── R8: what must hold whichever way a delivery is called ───────────────────────
create function delivery_has_its_record() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  if tg_op = 'UPDATE' and old.state in ('delivered', 'retired', 'scrapped') and new.state <> old.state
    and not (old.state = 'delivered' and new.state = 'retired')
  then
    perform refuse('R1002', 'record-is-final', jsonb_build_object('table', 'socket'));
  end if;
  -- R9: a worn socket is taken out of use when its reusable hardware has moved on, not before.
  if tg_op = 'UPDATE' and old.state = 'delivered' and new.state = 'retired' and exists (
    select 1 from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
      join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
      join part t on t.clinic_id = i.clinic_id and t.id = i.part_id and not t.single_use
    where p.clinic_id = new.clinic_id and p.socket_id = new.id)
  then
    perform refuse('R0902', 'worn-hardware-still-in', jsonb_build_object('socket', new.number));
  end if;
  if new.state = 'delivered' and (tg_op = 'INSERT' or old.state <> 'delivered') then
    if not exists (select 1 from delivery d join signature s on s.clinic_id = d.clinic_id and s.id = d.signature_id
                   where d.clinic_id = new.clinic_id and d.socket_id = new.id
                     and s.meaning = 'delivery_released' and s.subject_id = d.id) then
      perform refuse('R0801', 'delivery-not-signed', jsonb_build_object('socket', new.number));
    end if;
    if exists (select 1 from finding where clinic_id = new.clinic_id and socket_id = new.id and disposition is null) then
      perform refuse('R0802', 'delivery-has-open-findings', jsonb_build_object('socket', new.number));
    end if;
    if exists (select 1 from custody c join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
               where p.clinic_id = new.clinic_id and p.socket_id = new.id and c.shop_tool_id is not null) then
      perform refuse('R0803', 'shop-tool-stays-here', jsonb_build_object('socket', new.number));
    end if;
  end if;
  return new;
end
$$;
create trigger socket_050_own_clinic before insert on socket for each row execute function only_own_clinic();
create trigger socket_100_delivery before insert or update of state on socket for each row execute function delivery_has_its_record();

-- ── R10: nothing is deleted, and what is a record is never rewritten ────────────
create function refuse_change() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform refuse('R1001', 'record-is-kept', jsonb_build_object('table', tg_table_name, 'attempt', lower(tg_op)));
  return null;
end
$$;
create function refuse_rewrite() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform refuse('R1002', 'record-is-final', jsonb_build_object('table', tg_table_name));
  return null;
end
$$;
do $$
declare t text;
begin
  for t in select c.relname::text from pg_class c join pg_namespace n on n.oid = c.relnamespace
           where n.nspname = 'public' and c.relkind = 'r' and c.relname <> '_prisma_migrations'
  loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
  end loop;
  foreach t in array array['stage_change', 'signature', 'body_mass', 'mass_acknowledgement', 'measure_set',
    'measure', 'route_operation', 'operation_record', 'calibration', 'item', 'move', 'joint', 'torque_confirmation',
    'torque_reading', 'lock_check', 'alignment', 'fitting', 'batch_use', 'delivery', 'idempotency_key', 'event', 'place']
  loop
    execute format('create trigger %I before update on %I for each row execute function refuse_change()', t || '_not_rewritten', t);
  end loop;
end
$$;
create trigger finding_disposed_once before update on finding for each row
  when (old.disposition is not null) execute function refuse_rewrite();
create trigger service_visit_closed_once before update on service_visit for each row
  when (old.closed_at is not null) execute function refuse_rewrite();
create trigger torque_setting_superseded_once before update on torque_setting for each row
  when (old.superseded_at is not null) execute function refuse_rewrite();
create trigger cast_decided_once before update on limb_cast for each row
  when (old.state <> 'taken' and (new.state, new.decided_at, new.decided_by_id, new.decision_reason)
    is distinct from (old.state, old.decided_at, old.decided_by_id, old.decision_reason))
  execute function refuse_rewrite();
create trigger route_superseded_once before update on route for each row
  when (old.superseded_at is not null) execute function refuse_rewrite();
create trigger role_grant_ended_once before update on role_grant for each row
  when (old.ended_at is not null) execute function refuse_rewrite();
create trigger refresh_token_ended_once before update on refresh_token for each row
  when ((old.used_at is not null and new.used_at is distinct from old.used_at)
    or (old.revoked_at is not null and new.revoked_at is distinct from old.revoked_at))
  execute function refuse_rewrite();

-- What may change at all, column by column.
grant update (name, time_zone, paper, alignment_tolerance_deg, alignment_tolerance_mm, releaser_may_be_sole_worker,
  retention_years, first_recheck_days, version) on clinic to castbook_app;
grant update (email, printed_name, password_hash, active, failed_sign_ins, locked_until, version) on person to castbook_app;
grant update (ended_at, ended_by_id) on role_grant to castbook_app;
grant update (used_at, revoked_at) on refresh_token to castbook_app;
grant update (last) on number_counter to castbook_app;
grant update (given_name, family_name, name_key, birth_date, phone, address, version) on patient to castbook_app;
grant update (stage, hold_reason, held_at, promised_on, liner, note, prosthetist_id, functional_level, suspension,
  delivered_at, version) on fabrication_order to castbook_app;
grant update (state, decided_at, decided_by_id, decision_reason, model_broken_out_at) on limb_cast to castbook_app;
grant update (superseded_at) on route to castbook_app;
grant update (state, sheet_thickness_mm, cured_at, chamber_inspected_at, delivered_at, retired_at, version) on socket to castbook_app;
grant update (state) on operation to castbook_app;
grant update (name, hole_pattern, thread, pin_fit, side, rated_body_mass_kg, rating_document, single_use, least_clicks,
  service_interval_days, udi_device_identifier, active, version) on part to castbook_app;
grant update (superseded_at) on torque_setting to castbook_app;
grant update (name, out_of_service, version) on shop_tool to castbook_app;
grant update (closed_at, closed_by_id, outcome, signature_id) on service_visit to castbook_app;
grant update (opened_on, quarantined_at, quarantine_reason, version) on batch to castbook_app;
grant update (disposition, disposition_reason, disposed_at, disposed_by_id, signature_id) on finding to castbook_app;

-- ── R11: events are numbered and chained as they are written ────────────────────
create function event_joins_chain() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  loop
    update event_head set seq = seq + 1,
      chain_sha256 = encode(sha256(convert_to(chain_sha256 || new.leaf_sha256, 'UTF8')), 'hex')
      where clinic_id = new.clinic_id returning seq, chain_sha256 into new.seq, new.chain_sha256;
    if found then
      return new;
    end if;
    insert into event_head (clinic_id, seq, chain_sha256) values (new.clinic_id, 0, repeat('0', 64)) on conflict do nothing;
  end loop;
end
$$;
create trigger event_050_own_clinic before insert on event for each row execute function only_own_clinic();
create trigger event_100_joins_chain before insert on event for each row execute function event_joins_chain();
alter table event add constraint event_leaf_is_sha256 check (leaf_sha256 ~ '^[0-9a-f]{64}$');

-- ── R12: a clinic never sees another's rows ─────────────────────────────────────
do $$
declare t text;
begin
  for t in select c.table_name from information_schema.columns c join information_schema.tables b using (table_schema, table_name)
           where c.table_schema = 'public' and c.column_name = 'clinic_id' and b.table_type = 'BASE TABLE'
  loop
    execute format('alter table %I enable row level security', t);
    execute format($policy$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$policy$, t || '_own_clinic', t);
  end loop;
end
$$;
alter table clinic enable row level security;
create policy clinic_own_clinic on clinic for all to castbook_app
  using (id = nullif(current_setting('app.clinic', true), '')::uuid)
  with check (id = nullif(current_setting('app.clinic', true), '')::uuid);

-- The two doors through the wall: who signs in is known by e-mail only, and a new clinic has no rows yet.
create function sign_in_candidate(address text) returns table (clinic_id uuid, person_id uuid)
language sql stable security definer set search_path = public, pg_temp as $$
  select p.clinic_id, p.id from person p where p.email = lower(address)
$$;
revoke all on function sign_in_candidate(text) from public;
grant execute on function sign_in_candidate(text) to castbook_app;
revoke all on function move_is_possible(), move_changes_custody(), delivery_has_its_record(), event_joins_chain() from public;
