// The map to draw by: the plan, moved by the marks that were placed, and fitted to them from four on.

import { aligned, errorCovariance, errorRadius, projectiveStart } from "./fit.ts";
import type { Alignment, MarkSeen } from "./fit.ts";
import { inverse } from "./linear.ts";
import { MovedMap, PoseMap, ProjectiveMap, movedByHand } from "./maps.ts";
import type { Point, WallMap } from "./maps.ts";
import type { Drag, NightState, Placed, SetUpDrawing, Squared } from "./records.ts";

export interface Placing {
  readonly map: WallMap;
  readonly fit: Alignment | null;
}

export function planned(drawing: SetUpDrawing): ProjectiveMap {
  return new ProjectiveMap({
    matrix: drawing.plan, hinge: null, middle: [0, 0], spread: 1, centre: [0, 0], half: 1,
  });
}

/** The drawing with its marks where they stand, as the laptop adjusts them. */
export function asStands(drawing: SetUpDrawing, stands: NightState["stands"]): SetUpDrawing {
  if (stands.length === 0) return drawing;
  const places = new Map(stands.map((one) => [one.name, one.at]));
  return { ...drawing, marks: drawing.marks.map(({ name, at }) => ({ name, at: places.get(name) ?? at })) };
}

/** The map from the marks of this set-up that were placed in its picture. */
export function placing(drawing: SetUpDrawing, placed: readonly Placed[]): Placing {
  const plan = planned(drawing);
  const marks = seenMarks(drawing, placed);
  if (marks.length === 0) return { map: plan, fit: null };
  const { columns, rows, hinge } = drawing;
  const start =
    (hinge === null ? null : projectiveStart(marks, columns, rows, hinge)) ??
    projectiveStart(marks, columns, rows);
  if (start !== null) {
    const fit = aligned(start, marks);
    return { map: fit.map, fit };
  }
  return { map: new MovedMap(plan, movedMatrix(plan, marks)), fit: null };
}

/** The map of marks as they were read, before the picture was moved by hand. */
function squaredMap(drawing: SetUpDrawing, squared: Squared | null, placed: readonly Placed[]): WallMap {
  const form = squared?.form ?? null;
  if (form === null) return placing(drawing, placed).map;
  return form.kind === "pose" ? new PoseMap(form) : new ProjectiveMap(form);
}

/** Where the marks lie now that the picture was moved by hand until it sat on them. */
export function placedByHand(
  drawing: SetUpDrawing, squared: Squared | null, placed: readonly Placed[], by: Point,
): readonly Placed[] {
  if (placed.length === 0 || (by[0] === 0 && by[1] === 0)) return placed;
  const before = squaredMap(drawing, squared, placed);
  const after = movedByHand(before, by);
  const places = new Map(drawing.marks.map((one) => [one.name, one.at]));
  return placed.map((one) => {
    const at = places.get(one.name);
    if (at === undefined) return one;
    const [[u0, v0], [u1, v1]] = [before.px(...at), after.px(...at)];
    return { ...one, x: one.x + u1 - u0, y: one.y + v1 - v0 };
  });
}

/**
 * The map that the laptop squared the picture by, moved by hand since; while a cross is dragged, moved as
 * its marks move.
 */
export function shownMap(
  drawing: SetUpDrawing, squared: Squared | null, read: readonly Placed[], drag: Drag | null, by: Point,
): WallMap {
  const map = movedByHand(squaredMap(drawing, squared, read), by);
  if (drag === null) return map;
  const placed = placedByHand(drawing, squared, read, by);
  const now = withDrag(placed, drag, drawing.aiming);
  if ((squared?.form ?? null) === null) return placing(drawing, now).map;
  // Where the cross stood before it was touched, so that at the first touch nothing jumps.
  const mark = drawing.marks.find((one) => one.name === drag.mark);
  if (mark === undefined) return map;
  const [x, y] = map.px(mark.at[0], mark.at[1]);
  const before = inverse(flat(drawing, withDrag(placed, { ...drag, x, y }, drawing.aiming)));
  if (before === null) return map;
  const after = flat(drawing, now);
  return new MovedMap(map, after.map((row) =>
    [0, 1, 2].map((k) => row.reduce((sum, one, i) => sum + one * before[i]![k]!, 0))));
}

/** A matrix from the wall to the picture, as if the wall were flat. */
function flat(drawing: SetUpDrawing, placed: readonly Placed[]): number[][] {
  const marks = seenMarks(drawing, placed);
  const start = projectiveStart(marks, drawing.columns, drawing.rows);
  if (start !== null) return asMatrix(aligned(start, marks).map);
  const plan = planned(drawing);
  const by = movedMatrix(plan, marks);
  return by.map((row) => [0, 1, 2].map((k) => row.reduce((sum, one, i) => sum + one * drawing.plan[i]![k]!, 0)));
}

function seenMarks(drawing: SetUpDrawing, placed: readonly Placed[]): MarkSeen[] {
  const places = new Map(drawing.marks.map((one) => [one.name, one.at]));
  const marks: MarkSeen[] = [];
  for (const { name, x: u, y: v, sigma } of placed) {
    const at = places.get(name);
    if (at === undefined) continue;
    marks.push({ name, x: at[0], y: at[1], u, v, markSigma: drawing.mark_sigma, pxSigma: sigma });
  }
  return marks;
}

function movedMatrix(plan: ProjectiveMap, marks: readonly MarkSeen[]): number[][] {
  const pairs = marks.map((one) => ({ from: plan.px(one.x, one.y), to: [one.u, one.v] as Point }));
  const [a, b, c] = movedBy(pairs);
  return [[a[0], b[0], c[0]], [a[1], b[1], c[1]], [0, 0, 1]];
}

/** One mark shifts the picture; two and more shift, turn and size it. */
export function movedBy(
  pairs: readonly { readonly from: Point; readonly to: Point }[],
): [Point, Point, Point] {
  const n = pairs.length;
  const mean = (of: (pair: { from: Point; to: Point }) => number): number =>
    pairs.reduce((sum, pair) => sum + of(pair as { from: Point; to: Point }), 0) / n;
  const [fx, fy] = [mean((p) => p.from[0]), mean((p) => p.from[1])];
  const [tx, ty] = [mean((p) => p.to[0]), mean((p) => p.to[1])];
  let [a, b, size] = [0, 0, 0];
  for (const { from, to } of pairs) {
    const [x, y, u, v] = [from[0] - fx, from[1] - fy, to[0] - tx, to[1] - ty];
    a += x * u + y * v;
    b += x * v - y * u;
    size += x * x + y * y;
  }
  [a, b] = size > 0 ? [a / size, b / size] : [1, 0];
  return [[a, b], [-b, a], [tx - a * fx + b * fy, ty - b * fx - a * fy]];
}

/** The greatest expected miss (95 %) over the corners and the middle of the picture. [m] */
export function worstError(drawing: SetUpDrawing, fit: Alignment): number {
  const [left, low, right, high] = drawing.window;
  const places: Point[] = [
    [left, low], [right, low], [left, high], [right, high], [(left + right) / 2, (low + high) / 2],
  ];
  return Math.max(...places.map(([x, y]) => errorRadius(errorCovariance(fit, x, y))));
}

/** The matrix 3 x 3 of a flat map, from (chainage, level, 1) to the picture. */
export function asMatrix(map: ProjectiveMap): number[][] {
  const [m, s, c, h] = [map.middle, map.spread, map.centre, map.half];
  const wall = map.matrix.map((row) => [
    row[0]! / s, row[1]! / s, row[2]! - (row[0]! * m[0] + row[1]! * m[1]) / s,
  ]);
  return [
    wall[0]!.map((one, k) => h * one + c[0] * wall[2]![k]!),
    wall[1]!.map((one, k) => h * one + c[1] * wall[2]![k]!),
    wall[2]!,
  ];
}


/** The marks as they lie while one of them is dragged. */
export function withDrag(placed: readonly Placed[], drag: Drag | null, sigma: number): readonly Placed[] {
  if (drag === null) return placed;
  const others = placed.filter((one) => one.name !== drag.mark);
  return [...others, { name: drag.mark, x: drag.x, y: drag.y, sigma }];
}
