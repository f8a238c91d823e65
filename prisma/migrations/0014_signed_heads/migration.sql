-- The tree over the events, its signed heads and the keys that sign them (R11). Older program may run: yes.
-- CreateTable
CREATE TABLE "signing_key" (
    "clinic_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "key_id" TEXT NOT NULL,
    "public_key" TEXT NOT NULL,
    "statement" TEXT NOT NULL,
    "own_signature" TEXT NOT NULL,
    "previous_signature" TEXT,
    "valid_from" TIMESTAMPTZ(3) NOT NULL,
    "after_head" INTEGER NOT NULL,
    "entry" TEXT NOT NULL,
    "previous_key_id" TEXT,

    CONSTRAINT "signing_key_pkey" PRIMARY KEY ("clinic_id","number")
);

-- CreateTable
CREATE TABLE "signed_head" (
    "clinic_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "tree_size" BIGINT NOT NULL,
    "root_sha256" TEXT NOT NULL,
    "chain_sha256" TEXT NOT NULL,
    "signed_at" TIMESTAMPTZ(3) NOT NULL,
    "day" DATE NOT NULL,
    "cause" TEXT NOT NULL,
    "asked_by_id" UUID,
    "key_id" TEXT NOT NULL,
    "previous_head_sha256" TEXT,
    "statement" TEXT NOT NULL,
    "signature" TEXT NOT NULL,
    "head_sha256" TEXT NOT NULL,

    CONSTRAINT "signed_head_pkey" PRIMARY KEY ("clinic_id","number")
);

-- CreateTable
CREATE TABLE "merkle_node" (
    "clinic_id" UUID NOT NULL,
    "level" INTEGER NOT NULL,
    "index" BIGINT NOT NULL,
    "sha256" TEXT NOT NULL,

    CONSTRAINT "merkle_node_pkey" PRIMARY KEY ("clinic_id","level","index")
);

-- CreateIndex
CREATE UNIQUE INDEX "signing_key_clinic_id_key_id_key" ON "signing_key"("clinic_id", "key_id");

-- CreateIndex
CREATE UNIQUE INDEX "signed_head_clinic_id_tree_size_key" ON "signed_head"("clinic_id", "tree_size");

-- AddForeignKey
ALTER TABLE "signing_key" ADD CONSTRAINT "signing_key_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "signed_head" ADD CONSTRAINT "signed_head_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "signed_head" ADD CONSTRAINT "signed_head_clinic_id_asked_by_id_fkey" FOREIGN KEY ("clinic_id", "asked_by_id") REFERENCES "person"("clinic_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "merkle_node" ADD CONSTRAINT "merkle_node_clinic_id_fkey" FOREIGN KEY ("clinic_id") REFERENCES "clinic"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- What none of them can be.
alter table signing_key
  add constraint signing_key_counts check (number >= 1 and after_head >= 0),
  add constraint signing_key_entry_known check (entry in ('first', 'rotation', 'lost')),
  add constraint signing_key_follows check ((entry = 'first') = (number = 1) and (previous_key_id is null) = (number = 1)),
  add constraint signing_key_signed_in check ((previous_signature is not null) = (entry = 'rotation')),
  add constraint signing_key_is_ed25519 check (public_key ~ '^[A-Za-z0-9_-]{43}$' and key_id ~ '^[A-Za-z0-9_-]{43}$');
alter table signed_head
  add constraint signed_head_counts check (number >= 1 and tree_size >= 1),
  add constraint signed_head_cause_known check (cause in ('daily', 'asked')),
  add constraint signed_head_asked_by_somebody check ((cause = 'asked') = (asked_by_id is not null)),
  add constraint signed_head_hashes check (root_sha256 ~ '^[0-9a-f]{64}$' and chain_sha256 ~ '^[0-9a-f]{64}$'
    and head_sha256 ~ '^[0-9a-f]{64}$' and (previous_head_sha256 is null) = (number = 1)),
  add constraint signed_head_signature check (signature ~ '^[A-Za-z0-9+/]{86}==$');
alter table merkle_node
  add constraint merkle_node_kept_levels check (level in (6, 12, 18, 24, 30) and index >= 0),
  add constraint merkle_node_is_sha256 check (sha256 ~ '^[0-9a-f]{64}$');

/* One a clinic's day, whichever of the processes was first. */
create unique index signed_head_one_a_day on signed_head (clinic_id, day) where cause = 'daily';

/* R11: a head says of the events what is so, follows the head before it, and is under the newest key. */
create function signed_head_fits() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  prev signed_head;
  said jsonb := new.statement::jsonb;
  why text;
begin
  select * into prev from signed_head where clinic_id = new.clinic_id order by number desc limit 1;
  why := case
    when new.number <> coalesce(prev.number, 0) + 1 then 'number'
    when new.tree_size <= coalesce(prev.tree_size, 0) then 'treeSize'
    when new.previous_head_sha256 is distinct from prev.head_sha256 then 'previousHeadSha256'
    when new.tree_size > coalesce((select seq from event_head where clinic_id = new.clinic_id), 0) then 'treeSize'
    when new.chain_sha256 is distinct from (select chain_sha256 from event where clinic_id = new.clinic_id and seq = new.tree_size) then 'chainSha256'
    when new.key_id is distinct from (select key_id from signing_key where clinic_id = new.clinic_id order by number desc limit 1) then 'keyId'
    when new.head_sha256 <> encode(sha256(convert_to('{"signature":"' || new.signature || '","statement":' || new.statement || '}', 'UTF8')), 'hex') then 'headSha256'
    when said <> jsonb_build_object('purpose', 'castbook signed head v1', 'clinicId', new.clinic_id, 'number', new.number,
      'treeSize', new.tree_size, 'rootSha256', new.root_sha256, 'chainSha256', new.chain_sha256,
      'signedAt', to_char(new.signed_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'), 'day', new.day, 'cause', new.cause,
      'keyId', new.key_id, 'previousHeadSha256', new.previous_head_sha256) then 'statement'
  end;
  if why is not null then
    perform refuse('R1101', 'signed-head-unfit', jsonb_build_object('field', why));
  end if;
  return new;
end
$$;
create trigger signed_head_050_own_clinic before insert on signed_head for each row execute function only_own_clinic();
create trigger signed_head_100_fits before insert on signed_head for each row execute function signed_head_fits();

/* A key follows the one before it; whether its signatures are good only a verifier can tell. */
create function signing_key_fits() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  prev signing_key;
  said jsonb := new.statement::jsonb;
  why text;
begin
  select * into prev from signing_key where clinic_id = new.clinic_id order by number desc limit 1;
  why := case
    when new.number <> coalesce(prev.number, 0) + 1 then 'number'
    when new.previous_key_id is distinct from prev.key_id then 'previousKeyId'
    when new.valid_from < prev.valid_from then 'validFrom'
    when new.after_head <> coalesce((select max(number) from signed_head where clinic_id = new.clinic_id), 0) then 'afterHead'
    when said <> jsonb_build_object('purpose', 'castbook signing key v1', 'clinicId', new.clinic_id, 'number', new.number,
      'keyId', new.key_id, 'publicKey', new.public_key,
      'validFrom', to_char(new.valid_from at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'), 'afterHead', new.after_head,
      'entry', new.entry, 'previousKeyId', new.previous_key_id) then 'statement'
  end;
  if why is not null then
    perform refuse('R1102', 'signing-key-unfit', jsonb_build_object('field', why));
  end if;
  return new;
end
$$;
create trigger signing_key_050_own_clinic before insert on signing_key for each row execute function only_own_clinic();
create trigger signing_key_100_fits before insert on signing_key for each row execute function signing_key_fits();

/* Clinics with events whose head of this their day is not signed yet: asked by the service's own work, across clinics. */
create function clinics_without_head(at timestamptz) returns table (clinic_id uuid)
language sql stable security definer set search_path = public, pg_temp as $$
  select h.clinic_id from event_head h join clinic c on c.id = h.clinic_id
  where h.seq > 0 and not exists (select 1 from signed_head s where s.clinic_id = h.clinic_id and s.cause = 'daily'
    and s.day >= (at at time zone c.time_zone)::date)
  order by h.clinic_id
$$;
revoke all on function clinics_without_head(timestamptz), signed_head_fits(), signing_key_fits() from public;
grant execute on function clinics_without_head(timestamptz) to castbook_app;

-- R10, R12: kept, never changed, each clinic its own.
do $$
declare t text;
begin
  foreach t in array array['signing_key', 'signed_head', 'merkle_node'] loop
    execute format('create trigger %I before delete on %I for each row execute function refuse_change()', t || '_kept', t);
    execute format('create trigger %I before truncate on %I for each statement execute function refuse_change()', t || '_not_emptied', t);
    execute format('create trigger %I before update on %I for each row execute function refuse_change()', t || '_not_rewritten', t);
    execute format('alter table %I enable row level security', t);
    execute format($policy$create policy %I on %I for all to castbook_app
      using (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)
      with check (clinic_id = nullif(current_setting('app.clinic', true), '')::uuid)$policy$, t || '_own_clinic', t);
    execute format('grant select, insert on %I to castbook_app', t);
  end loop;
end
$$;
