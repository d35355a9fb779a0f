import assert from "node:assert/strict";
import { test } from "node:test";

import { asMatrix, asStands, movedBy, placedByHand, placing, shownMap } from "../src/night/placing.ts";
import { ProjectiveMap } from "../src/night/maps.ts";
import type { SetUpDrawing } from "../src/night/records.ts";

// A picture of 4 m by 2.5 m at 500 px a metre, square on: px = (500 x, 1250 - 500 y).
const drawing = {
  columns: 2000, rows: 1250, plan: [[500, 0, 0], [0, -500, 1250], [0, 0, 1]], hinge: null,
  mark_sigma: 0.002, aiming: 1, window: [0, 0, 4, 2.5],
  marks: [
    { name: "a", at: [0.5, 0.5] }, { name: "b", at: [3.5, 0.5] }, { name: "c", at: [3.5, 2] },
    { name: "d", at: [0.5, 2] }, { name: "e", at: [2, 1.2] },
  ],
} as unknown as SetUpDrawing;

const near = (found: readonly number[], wanted: readonly number[]): void =>
  wanted.forEach((one, i) => assert.ok(Math.abs(found[i]! - one) < 1e-9, `${found} is not ${wanted}`));

test("without a mark the picture is the plan's", () => {
  near(placing(drawing, []).map.px(2, 1), [1000, 750]);
});

test("one mark shifts the whole picture", () => {
  // Mark a is planned at (250, 1000); it is seen 12 px right of that and 7 px higher.
  const { map, fit } = placing(drawing, [{ name: "a", x: 262, y: 993, sigma: 1 }]);
  assert.equal(fit, null);
  near(map.px(3.5, 2), [1762, 243]);
});

test("two marks shift, turn and size it", () => {
  // Planned (250, 1000) and (1750, 1000), seen a quarter turn on and half as far apart:
  // from (0, 0) straight down to (0, 750). What lay right of a now lies under it, half as far.
  const seen = [{ name: "a", x: 0, y: 0, sigma: 1 }, { name: "b", x: 0, y: 750, sigma: 1 }];
  const { map } = placing(drawing, seen);
  near(map.px(0.5, 0.5), [0, 0]);
  near(map.px(3.5, 0.5), [0, 750]);
  // d is planned at (250, 250), 750 px above a; above turns to right: (375, 0).
  near(map.px(0.5, 2), [375, 0]);
});

test("marks in one place leave the size alone", () => {
  const pair = { from: [5, 5], to: [8, 9] } as const;
  const [a, b, c] = movedBy([pair, pair]);
  near([...a, ...b, ...c], [1, 0, 0, 1, 3, 4]);
});

test("four marks fit a projective map exactly, and its matrix is that map", () => {
  const corners = [["a", 260, 1010], ["b", 1730, 980], ["c", 1760, 240], ["d", 230, 262]] as const;
  const { map, fit } = placing(drawing, corners.map(([name, x, y]) => ({ name, x, y, sigma: 1 })));
  assert.ok(fit !== null && fit.freedom === 0);
  assert.ok(map instanceof ProjectiveMap);
  const matrix = asMatrix(map);
  for (const [name, x, y] of corners) {
    const at = drawing.marks.find((one) => one.name === name)!.at;
    const [u, v, w] = matrix.map((row) => row[0]! * at[0] + row[1]! * at[1] + row[2]!);
    assert.ok(Math.hypot(u! / w! - x, v! / w! - y) < 1e-6);
    const [a, b] = map.px(at[0], at[1]);
    assert.ok(Math.hypot(a - x, b - y) < 1e-6);
  }
});

test("a mark that the job does not have any more is left out", () => {
  near(placing(drawing, [{ name: "gone", x: 1, y: 1, sigma: 1 }]).map.px(2, 1), [1000, 750]);
});

test("a picture that the laptop squared does not jump when a cross is touched, and follows it", () => {
  const corners = [["a", 260, 1010], ["b", 1730, 980], ["c", 1760, 240], ["d", 230, 262]] as const;
  const placed = corners.map(([name, x, y]) => ({ name, x, y, sigma: 1 }));
  // A pose with a bent lens: another kind of map than the browser fits by itself.
  const form = {
    kind: "pose", axes: [[1, 0, 0], [0, -1, 0], [0, 0, -1]], lens: [2, 1.25, 4], focal: 2000, centre: [1000, 625],
    bend: 0.02, origin: 0, curvature: 0, fold: 0,
  } as const;
  const squared = { form, kind: "flat wall", most: "", worst: "", bad: [], named: false, findings: [] };
  const still = shownMap(drawing, squared, placed, null, [0, 0]);
  const [u, v] = still.px(0.5, 0.5);
  const drag = { set_up: 1, mark: "a", by: "x", seq: 1 };
  const touched = shownMap(drawing, squared, placed, { ...drag, x: u, y: v }, [0, 0]);
  for (const at of [[0.5, 0.5], [3.5, 2], [2, 1.2], [0, 0]] as const) {
    const [x, y] = at;
    assert.ok(Math.hypot(touched.px(x, y)[0] - still.px(x, y)[0], touched.px(x, y)[1] - still.px(x, y)[1]) < 1e-6);
  }
  // Four marks fit exactly: the dragged cross goes where the finger goes, the others stay.
  const moved = shownMap(drawing, squared, placed, { ...drag, x: u + 30, y: v - 10 }, [0, 0]);
  assert.ok(Math.abs(moved.px(0.5, 0.5)[0] - u - 30) < 5 && Math.abs(moved.px(0.5, 0.5)[1] - v + 10) < 5);
});

test("a picture moved by hand is moved on the wall, with marks and without", () => {
  // 500 px a metre: 20 mm right is 10 px right, 10 mm up 5 px up, which is less of y.
  near(shownMap(drawing, null, [], null, [0.02, 0.01]).px(2, 1), [1010, 745]);
  const seen = drawing.marks.map(({ name, at: [x, y] }) => ({ name, x: 500 * x + 3, y: 1250 - 500 * y, sigma: 1 }));
  const map = shownMap(drawing, null, seen, null, [0.02, 0.01]);
  const [u, v] = map.px(2, 1);
  assert.ok(Math.hypot(u - 1013, v - 745) < 1e-6);
  // The marks lie where the picture was moved to; a cross that is touched then does not jump.
  const placed = placedByHand(drawing, null, seen, [0.02, 0.01]);
  assert.ok(Math.abs(placed[4]!.x - 1013) < 1e-6 && Math.abs(placed[4]!.y - 645) < 1e-6);
  const drag = { set_up: 1, mark: "e", x: placed[4]!.x, y: placed[4]!.y, by: "", seq: 1 };
  const [u1, v1] = shownMap(drawing, null, seen, drag, [0.02, 0.01]).px(2, 1);
  assert.ok(Math.hypot(u1 - u, v1 - v) < 1e-6);
  assert.deepEqual(placedByHand(drawing, null, [], [0.02, 0.01]), []);
});

test("marks stand where the laptop adjusts them, the others where the job has them", () => {
  const stands = [{ name: "a", at: [0.512, 0.5] as const }];
  const adjusted = asStands(drawing, stands);
  near(adjusted.marks[0]!.at, [0.512, 0.5]);
  near(adjusted.marks[1]!.at, [3.5, 0.5]);
  assert.equal(asStands(drawing, []), drawing);
  // Seen as planned, the mark that stands 12 mm to the right of its place means a picture 6 px further left.
  near(placing(adjusted, [{ name: "a", x: 250, y: 1000, sigma: 1 }]).map.px(2, 1), [994, 750]);
});
