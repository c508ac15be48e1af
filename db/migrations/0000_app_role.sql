-- Older code still runs on this.
-- The role under which household transactions run: no login, no bypass of row-level security. Roles belong to the
-- whole server, so another database may have made it already, or be making it right now.
DO $$
BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'areole_app') THEN
    CREATE ROLE areole_app NOLOGIN NOBYPASSRLS NOSUPERUSER NOINHERIT;
  END IF;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;
--> statement-breakpoint
DO $$
BEGIN
  IF NOT pg_has_role(current_user, 'areole_app', 'MEMBER')
     OR NOT EXISTS (
       SELECT FROM pg_auth_members m JOIN pg_roles r ON r.oid = m.roleid JOIN pg_roles u ON u.oid = m.member
       WHERE r.rolname = 'areole_app' AND u.rolname = current_user)
  THEN
    EXECUTE format('GRANT areole_app TO %I', current_user);
  END IF;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;
