import assert from "node:assert/strict";
import { test } from "node:test";

import { smallLength, typedNumber } from "../src/night/typed.ts";

test("numbers are read as they are typed with gloves, fractions of inches too", () => {
  for (const [text, wanted] of [
    ["34", 34], ["-12,5", -12.5], [" −3 ", -3], [".5", 0.5], ["1/4", 0.25], ["-1 3/8", -1.375], ["+2", 2],
  ] as const) {
    assert.equal(typedNumber(text), wanted);
  }
  for (const text of ["", "a hand", "1/0", "1 2", "3/8 in", "1e3", "--1", "1/2/3"]) {
    assert.ok(Number.isNaN(typedNumber(text)), text);
  }
});

test("short lengths are said in the job's units", () => {
  assert.equal(smallLength(0.0124, ["mm", 0.001]), "12 mm");
  assert.equal(smallLength(0.0124, ["in", 0.0254]), "0.5 in"); // 0.488
});
