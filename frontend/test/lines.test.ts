import assert from "node:assert/strict";
import { test } from "node:test";

import { isTraced, ticked } from "../src/night/lines.ts";
import type { Line } from "../src/night/records.ts";

const line = (key: string, ...once: string[]): Line =>
  ({ key, once, paints: ["a", "b"], name: "A | B", length: "1 m", metres: 1 });

test("a line counts as traced by its own key, and by all of those that an older log has", () => {
  const one = line("new", "old 1", "old 2");
  assert.equal(isTraced(one, new Set(["new"])), true);
  assert.equal(isTraced(one, new Set(["old 1"])), false);
  assert.equal(isTraced(one, new Set(["old 1", "old 2"])), true);
  assert.equal(isTraced(line("new"), new Set()), false);
});

test("a press ticks all, and takes all back where all were ticked, those of an older log too", () => {
  const lines = [line("x", "old"), line("y", "old")];
  assert.deepEqual(ticked(lines, new Set(["x"])), { lines: ["x", "y"], traced: true });
  assert.deepEqual(ticked(lines, new Set(["old"])), { lines: ["x", "old", "y"], traced: false });
});
