import { defineConfig } from "drizzle-kit";

/** `npx drizzle-kit generate --config db/drizzle.config.ts --name <subject>` writes the next migration. */
export default defineConfig({
  dialect: "postgresql",
  schema: "./db/schema/index.ts",
  out: "./db/migrations",
});
