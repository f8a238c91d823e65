-- A clinic keeps an administrator, nobody takes their own role away, sockets under way are counted by route. Older program may run: yes.

/* Two who take the role from each other at once wait here for one another. */
create function clinic_keeps_administrator() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_table_name = 'person' then
    if not exists (select 1 from role_grant g where g.clinic_id = new.clinic_id and g.person_id = new.id
        and g.role = 'administrator' and g.ended_at is null) then
      return null;
    end if;
  end if;
  perform 1 from clinic where id = new.clinic_id for no key update;
  if not exists (select 1 from role_grant g
      join person p on p.clinic_id = g.clinic_id and p.id = g.person_id
      where g.clinic_id = new.clinic_id and g.role = 'administrator' and g.ended_at is null and p.active) then
    perform refuse('RP101', 'last-administrator', '{}'::jsonb);
  end if;
  return null;
end
$$;
create trigger person_200_administrator after update of active on person for each row
  when (old.active and not new.active) execute function clinic_keeps_administrator();
create trigger role_grant_200_administrator after update of ended_at on role_grant for each row
  when (new.role = 'administrator' and old.ended_at is null and new.ended_at is not null)
  execute function clinic_keeps_administrator();

create function own_access_is_kept() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform refuse('RP102', 'own-access-kept', '{}'::jsonb);
  return null;
end
$$;
create trigger role_grant_300_own_access after update of ended_at on role_grant for each row
  when (new.role = 'administrator' and old.ended_at is null and new.ended_by_id = new.person_id)
  execute function own_access_is_kept();
revoke all on function clinic_keeps_administrator(), own_access_is_kept() from public;

create index socket_under_way_by_route on socket (clinic_id, route_id) where state in ('in_work', 'accepted');
