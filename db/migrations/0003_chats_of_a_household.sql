-- Older code still runs on this.
CREATE INDEX "routes_household" ON "routes" USING btree ("household_id");