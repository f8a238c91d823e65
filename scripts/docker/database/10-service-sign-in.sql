-- Run once by PostgreSQL's image, as the owner, in the new database, before any migration.
-- The service signs in as a role that owns nothing and is a member of castbook_app, whose
-- rights the migrations give; so no row-level policy can be gone round with its password.
\set ON_ERROR_STOP on
\getenv service_password CASTBOOK_DB_PASSWORD
create role castbook_app nologin nosuperuser nocreatedb nocreaterole nobypassrls;
create role castbook_service login password :'service_password' nosuperuser nocreatedb nocreaterole nobypassrls;
grant castbook_app to castbook_service;
revoke all on database castbook from public;
grant connect on database castbook to castbook_service;
revoke create on schema public from public;
