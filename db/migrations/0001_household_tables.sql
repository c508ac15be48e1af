-- The first tables: nothing older runs on this.
CREATE TABLE "care_rules" (
	"taxon" text NOT NULL,
	"season" text NOT NULL,
	"columns" jsonb NOT NULL,
	CONSTRAINT "care_rules_taxon_season_pk" PRIMARY KEY("taxon","season")
);
--> statement-breakpoint
CREATE TABLE "duties" (
	"duty" text PRIMARY KEY NOT NULL,
	"holder" uuid NOT NULL,
	"lease_until" timestamp with time zone NOT NULL
);
--> statement-breakpoint
CREATE TABLE "inbox" (
	"household_id" uuid NOT NULL,
	"chat_id" bigint NOT NULL,
	"update_id" bigint NOT NULL,
	"seq" bigint NOT NULL,
	"body" text NOT NULL,
	"state" text DEFAULT 'waiting' NOT NULL,
	"attempts" smallint DEFAULT 0 NOT NULL,
	"interruptions" smallint DEFAULT 0 NOT NULL,
	"error" text,
	"received_at" timestamp with time zone NOT NULL,
	"finished_at" timestamp with time zone,
	CONSTRAINT "inbox_household_id_chat_id_update_id_pk" PRIMARY KEY("household_id","chat_id","update_id")
);
--> statement-breakpoint
ALTER TABLE "inbox" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "meta" (
	"key" text PRIMARY KEY NOT NULL,
	"value" text NOT NULL
);
--> statement-breakpoint
CREATE TABLE "outbox" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"chat_id" bigint NOT NULL,
	"seq" bigint NOT NULL,
	"urgency" smallint NOT NULL,
	"message" jsonb NOT NULL,
	"state" text DEFAULT 'waiting' NOT NULL,
	"attempts" smallint DEFAULT 0 NOT NULL,
	"reason" text,
	"written_at" timestamp with time zone NOT NULL,
	"finished_at" timestamp with time zone,
	CONSTRAINT "outbox_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "outbox" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "reminders" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"kind" text NOT NULL,
	"subject" text NOT NULL,
	"local_date" text NOT NULL,
	"due_at" timestamp with time zone NOT NULL,
	"chat_id" bigint,
	"payload" jsonb,
	"state" text DEFAULT 'waiting' NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	"finished_at" timestamp with time zone,
	CONSTRAINT "reminders_household_id_id_pk" PRIMARY KEY("household_id","id"),
	CONSTRAINT "reminders_once" UNIQUE("household_id","kind","subject","local_date")
);
--> statement-breakpoint
ALTER TABLE "reminders" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "routes" (
	"chat_id" bigint PRIMARY KEY NOT NULL,
	"household_id" uuid NOT NULL
);
--> statement-breakpoint
CREATE TABLE "sent" (
	"household_id" uuid NOT NULL,
	"chat_id" bigint NOT NULL,
	"message_id" bigint NOT NULL,
	"outbox_id" uuid NOT NULL,
	"about" jsonb,
	"sent_at" timestamp with time zone NOT NULL,
	CONSTRAINT "sent_household_id_chat_id_message_id_pk" PRIMARY KEY("household_id","chat_id","message_id")
);
--> statement-breakpoint
ALTER TABLE "sent" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "work" (
	"household_id" uuid NOT NULL,
	"lane" text NOT NULL,
	"chat_id" bigint NOT NULL,
	"reminder_id" uuid DEFAULT '00000000-0000-0000-0000-000000000000' NOT NULL,
	"urgency" smallint DEFAULT 1 NOT NULL,
	"due_at" timestamp with time zone,
	"not_before" timestamp with time zone,
	"lease_until" timestamp with time zone,
	"fence" bigint DEFAULT 0 NOT NULL,
	"version" bigint DEFAULT 0 NOT NULL,
	CONSTRAINT "work_household_id_lane_chat_id_reminder_id_pk" PRIMARY KEY("household_id","lane","chat_id","reminder_id")
);
--> statement-breakpoint
CREATE TABLE "chats" (
	"household_id" uuid NOT NULL,
	"chat_id" bigint NOT NULL,
	"kind" text NOT NULL,
	"title" text,
	"active" boolean DEFAULT true NOT NULL,
	"member_count" integer,
	"hears_all" boolean,
	"welcomed_at" timestamp with time zone,
	"state" jsonb DEFAULT '{}'::jsonb NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "chats_household_id_chat_id_pk" PRIMARY KEY("household_id","chat_id")
);
--> statement-breakpoint
ALTER TABLE "chats" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "collections" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"name" text NOT NULL,
	CONSTRAINT "collections_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "collections" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "households" (
	"household_id" uuid PRIMARY KEY NOT NULL,
	"name" text,
	"zone" text,
	"latitude" double precision,
	"longitude" double precision,
	"location" text,
	"hemisphere" text DEFAULT 'north' NOT NULL,
	"units" text DEFAULT 'metric' NOT NULL,
	"locale" text DEFAULT 'en-GB' NOT NULL,
	"reminder_time" text DEFAULT '07:30' NOT NULL,
	"reminder_days" jsonb DEFAULT '[1,2,3,4,5,6,7]'::jsonb NOT NULL,
	"quiet_hours" jsonb,
	"danger_at_night" boolean,
	"tasks" jsonb DEFAULT '{}'::jsonb NOT NULL,
	"created_at" timestamp with time zone NOT NULL
);
--> statement-breakpoint
ALTER TABLE "households" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "members" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"user_id" bigint,
	"name" text NOT NULL,
	"met_at" timestamp with time zone NOT NULL,
	CONSTRAINT "members_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "members" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "topics" (
	"household_id" uuid NOT NULL,
	"chat_id" bigint NOT NULL,
	"thread_id" bigint NOT NULL,
	"collection_id" uuid NOT NULL,
	CONSTRAINT "topics_household_id_chat_id_thread_id_pk" PRIMARY KEY("household_id","chat_id","thread_id")
);
--> statement-breakpoint
ALTER TABLE "topics" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "entries" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"act" text NOT NULL,
	"entry" jsonb NOT NULL,
	"collection_id" uuid,
	"place_id" uuid,
	"starts_at" timestamp with time zone NOT NULL,
	"ends_at" timestamp with time zone NOT NULL,
	"local_from" text,
	"local_to" text,
	"grain" text,
	"reading_quantity" text,
	"reading_statistic" text,
	"reading_value" double precision,
	"author_id" uuid,
	"person" text,
	"chat_id" bigint,
	"message_id" bigint,
	"raw_text" text NOT NULL,
	"interpretation" jsonb,
	"note" text,
	"amends" uuid,
	"written_at" timestamp with time zone NOT NULL,
	CONSTRAINT "entries_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "entries" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "own_rules" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"rule" jsonb NOT NULL,
	"said_by" text NOT NULL,
	"said_at" timestamp with time zone NOT NULL,
	"raw_text" text NOT NULL,
	"lifted_at" timestamp with time zone,
	CONSTRAINT "own_rules_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "own_rules" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "retractions" (
	"household_id" uuid NOT NULL,
	"entry_id" uuid NOT NULL,
	"reason" text NOT NULL,
	"by" uuid,
	"at" timestamp with time zone NOT NULL,
	"replaced_by" uuid,
	CONSTRAINT "retractions_household_id_entry_id_pk" PRIMARY KEY("household_id","entry_id")
);
--> statement-breakpoint
ALTER TABLE "retractions" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "places" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"collection_id" uuid,
	"name" text NOT NULL,
	"aliases" jsonb DEFAULT '[]'::jsonb NOT NULL,
	"floor" jsonb,
	"floor_c" double precision,
	"kind" text,
	"is_default" boolean DEFAULT false NOT NULL,
	"removed_at" timestamp with time zone,
	CONSTRAINT "places_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "places" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "plants" (
	"household_id" uuid NOT NULL,
	"id" uuid NOT NULL,
	"collection_id" uuid,
	"tag" text,
	"name" text,
	"genus" text NOT NULL,
	"species" text,
	"cultivar" text,
	"field_number" text,
	"count" integer,
	"pot_diameter_cm" double precision,
	"pot_material" text,
	"place_id" uuid,
	"source" text,
	"acquired_on" text,
	"sown_on" text,
	"status" text DEFAULT 'alive' NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "plants_household_id_id_pk" PRIMARY KEY("household_id","id")
);
--> statement-breakpoint
ALTER TABLE "plants" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "inbox" ADD CONSTRAINT "inbox_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "outbox" ADD CONSTRAINT "outbox_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "reminders" ADD CONSTRAINT "reminders_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "sent" ADD CONSTRAINT "sent_household_id_chat_id_chats_household_id_chat_id_fk" FOREIGN KEY ("household_id","chat_id") REFERENCES "public"."chats"("household_id","chat_id") ON DELETE cascade ON UPDATE cascade;--> statement-breakpoint
ALTER TABLE "chats" ADD CONSTRAINT "chats_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "collections" ADD CONSTRAINT "collections_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "members" ADD CONSTRAINT "members_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "topics" ADD CONSTRAINT "topics_household_id_chat_id_chats_household_id_chat_id_fk" FOREIGN KEY ("household_id","chat_id") REFERENCES "public"."chats"("household_id","chat_id") ON DELETE cascade ON UPDATE cascade;--> statement-breakpoint
ALTER TABLE "topics" ADD CONSTRAINT "topics_household_id_collection_id_collections_household_id_id_fk" FOREIGN KEY ("household_id","collection_id") REFERENCES "public"."collections"("household_id","id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_household_id_collection_id_collections_household_id_id_fk" FOREIGN KEY ("household_id","collection_id") REFERENCES "public"."collections"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_household_id_place_id_places_household_id_id_fk" FOREIGN KEY ("household_id","place_id") REFERENCES "public"."places"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_household_id_author_id_members_household_id_id_fk" FOREIGN KEY ("household_id","author_id") REFERENCES "public"."members"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_household_id_amends_entries_household_id_id_fk" FOREIGN KEY ("household_id","amends") REFERENCES "public"."entries"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "own_rules" ADD CONSTRAINT "own_rules_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "retractions" ADD CONSTRAINT "retractions_household_id_entry_id_entries_household_id_id_fk" FOREIGN KEY ("household_id","entry_id") REFERENCES "public"."entries"("household_id","id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "retractions" ADD CONSTRAINT "retractions_household_id_by_members_household_id_id_fk" FOREIGN KEY ("household_id","by") REFERENCES "public"."members"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "retractions" ADD CONSTRAINT "retractions_household_id_replaced_by_entries_household_id_id_fk" FOREIGN KEY ("household_id","replaced_by") REFERENCES "public"."entries"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "places" ADD CONSTRAINT "places_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "places" ADD CONSTRAINT "places_household_id_collection_id_collections_household_id_id_fk" FOREIGN KEY ("household_id","collection_id") REFERENCES "public"."collections"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "plants" ADD CONSTRAINT "plants_household_id_households_household_id_fk" FOREIGN KEY ("household_id") REFERENCES "public"."households"("household_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "plants" ADD CONSTRAINT "plants_household_id_collection_id_collections_household_id_id_fk" FOREIGN KEY ("household_id","collection_id") REFERENCES "public"."collections"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "plants" ADD CONSTRAINT "plants_household_id_place_id_places_household_id_id_fk" FOREIGN KEY ("household_id","place_id") REFERENCES "public"."places"("household_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "inbox_waiting" ON "inbox" USING btree ("household_id","chat_id","seq") WHERE "inbox"."state" = 'waiting';--> statement-breakpoint
CREATE INDEX "inbox_order" ON "inbox" USING btree ("household_id","chat_id","seq");--> statement-breakpoint
CREATE INDEX "inbox_finished" ON "inbox" USING btree ("household_id","finished_at");--> statement-breakpoint
CREATE INDEX "outbox_waiting" ON "outbox" USING btree ("household_id","chat_id","urgency","seq") WHERE "outbox"."state" = 'waiting';--> statement-breakpoint
CREATE INDEX "outbox_order" ON "outbox" USING btree ("household_id","chat_id","seq");--> statement-breakpoint
CREATE INDEX "outbox_finished" ON "outbox" USING btree ("household_id","finished_at");--> statement-breakpoint
CREATE INDEX "reminders_due" ON "reminders" USING btree ("household_id","due_at") WHERE "reminders"."state" = 'waiting';--> statement-breakpoint
CREATE INDEX "sent_time" ON "sent" USING btree ("household_id","sent_at");--> statement-breakpoint
CREATE INDEX "work_due" ON "work" USING btree ("lane","urgency","due_at") WHERE "work"."due_at" is not null;--> statement-breakpoint
CREATE UNIQUE INDEX "collections_name" ON "collections" USING btree ("household_id",lower("name"));--> statement-breakpoint
CREATE UNIQUE INDEX "members_user" ON "members" USING btree ("household_id","user_id");--> statement-breakpoint
CREATE INDEX "entries_time" ON "entries" USING btree ("household_id","starts_at","id");--> statement-breakpoint
CREATE INDEX "entries_act" ON "entries" USING btree ("household_id","act","starts_at","id");--> statement-breakpoint
CREATE INDEX "entries_message" ON "entries" USING btree ("household_id","chat_id","message_id");--> statement-breakpoint
CREATE INDEX "entries_reading" ON "entries" USING btree ("household_id","reading_quantity","place_id","starts_at") WHERE "entries"."reading_quantity" is not null;--> statement-breakpoint
CREATE UNIQUE INDEX "places_name" ON "places" USING btree ("household_id",coalesce("collection_id", '00000000-0000-0000-0000-000000000000'::uuid),lower("name")) WHERE "places"."removed_at" is null;--> statement-breakpoint
CREATE INDEX "plants_genus" ON "plants" USING btree ("household_id","genus");--> statement-breakpoint
CREATE POLICY "one_household" ON "inbox" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "outbox" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "reminders" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "sent" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "chats" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "collections" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "households" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "members" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "topics" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "entries" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "own_rules" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "retractions" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "places" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "one_household" ON "plants" AS PERMISSIVE FOR ALL TO public USING (household_id = nullif(current_setting('app.household', true), '')::uuid) WITH CHECK (household_id = nullif(current_setting('app.household', true), '')::uuid);