export * from "./delivery.js";
export * from "./households.js";
export * from "./journal.js";
export * from "./plants.js";
export { APP_ROLE, appRole } from "./tenancy.js";
