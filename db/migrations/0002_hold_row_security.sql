-- Older code still runs on this.
-- Row-level security binds the tables' owner too. A later migration that has to change rows of many households
-- says NO FORCE, changes them, and says FORCE again. New tables need the same two lines and the grant.
DO $$
DECLARE held text;
BEGIN
  FOREACH held IN ARRAY ARRAY[
    'households', 'chats', 'topics', 'members', 'collections', 'places', 'plants', 'entries', 'retractions',
    'own_rules', 'reminders', 'inbox', 'outbox', 'sent'
  ] LOOP
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', held);
    EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %I TO areole_app', held);
  END LOOP;
END
$$;
--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE, DELETE ON work, routes TO areole_app;
--> statement-breakpoint
GRANT SELECT ON care_rules, meta TO areole_app;
--> statement-breakpoint
-- Entries are never overwritten, retractions neither: the application's role cannot.
REVOKE UPDATE ON entries, retractions FROM areole_app;
