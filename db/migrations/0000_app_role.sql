-- Older code still runs on this.
-- The role under which household transactions run: no login, no bypass of row-level security. Roles belong to the
-- whole server, so another database may have made it already, or be making it right now.
DO $$
DECLARE tries int := 0;
BEGIN
  LOOP
    BEGIN
      IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'areole_app') THEN
        CREATE ROLE areole_app NOLOGIN NOBYPASSRLS NOSUPERUSER;
      END IF;
      -- Said even to a member: since PostgreSQL 16 who made a role may administer it, but not take it on.
      EXECUTE format('GRANT areole_app TO %I', current_user);
      RETURN;
    EXCEPTION
      WHEN insufficient_privilege THEN
        IF pg_has_role(current_user, 'areole_app', 'MEMBER') THEN RETURN; END IF;
        RAISE EXCEPTION 'The database user % may not take on the role areole_app', current_user
          USING ERRCODE = 'insufficient_privilege', HINT = format('As an administrator: GRANT areole_app TO %I;', current_user);
      WHEN duplicate_object OR unique_violation OR internal_error THEN
        tries := tries + 1;
        IF tries > 20 THEN RAISE; END IF;
        PERFORM pg_sleep(0.05);
    END;
  END LOOP;
END
$$;
