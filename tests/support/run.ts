import { beginRun, endRun } from "./postgres.js";

/** Around all tests of a run: the place of a server that tests may start, and its end. */
export default function run(): () => void {
  const dir = beginRun();
  return () => endRun(dir);
}
