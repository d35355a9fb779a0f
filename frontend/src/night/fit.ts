// A picture fitted to the marks it was aimed at, step for step as core/projection/alignment.py does
// it, so that the browser and the program find the same matrix.

import { eigen, inverse, solved } from "./linear.ts";
import type { Matrix } from "./linear.ts";
import { ProjectiveMap } from "./maps.ts";

const ROUNDS = 60;
const REWEIGHED = 2; // rounds in which the weights follow the map; then they stand
const SETTLED = 1e-8;
const DAMPING = 1e-3;
const [LAST_STEPS, LAST_DAMPING, ROUNDING] = [2, 1e-9, 1e-10] as const;
export const INSIDE_95 = -2 * Math.log(0.05);

export interface MarkSeen {
  readonly name: string;
  readonly x: number; // chainage, m
  readonly y: number; // level, m
  readonly u: number; // px
  readonly v: number; // px
  readonly markSigma: number; // m
  readonly pxSigma: number; // px
}

export interface Alignment {
  readonly map: ProjectiveMap;
  readonly covariance: Matrix;
  readonly misfit: number;
  readonly freedom: number;
  readonly settled: boolean;
}

/** A first map from the marks alone; null where they leave it open. */
export function projectiveStart(
  marks: readonly MarkSeen[], columns: number, rows: number, hinge: number | null = null,
): ProjectiveMap | null {
  const size = hinge === null ? 3 : 4;
  if (2 * marks.length < 3 * size - 1) return null;
  const n = marks.length;
  const middle = [
    marks.reduce((sum, one) => sum + one.x, 0) / n,
    marks.reduce((sum, one) => sum + one.y, 0) / n,
  ] as const;
  const spread = Math.sqrt(
    marks.reduce((sum, one) => sum + (one.x - middle[0]) ** 2 + (one.y - middle[1]) ** 2, 0) / n,
  );
  if (!(spread > 0)) return null;
  const frame = {
    hinge, middle, spread, centre: [columns / 2, rows / 2] as const, half: Math.hypot(columns, rows) / 2,
  };
  const blank = new ProjectiveMap({
    ...frame, matrix: [0, 1, 2].map((i) => Array.from({ length: size }, (_, j) => (i === j ? 1 : 0))),
  });
  const features = marks.map((one) => blank.features(one.x, one.y));
  if (!ofFullRank(features, size)) return null;
  const matrix = directLinear(
    features, marks.map((one) => [(one.u - frame.centre[0]) / frame.half, (one.v - frame.centre[1]) / frame.half]),
  );
  const depth = matrix[2]!;
  if (features.some((f) => !(f.reduce((sum, one, k) => sum + one * depth[k]!, 0) > 0))) return null;
  return new ProjectiveMap({ ...frame, matrix });
}

function ofFullRank(features: Matrix, size: number): boolean {
  const squares = features.flat().reduce((sum, one) => sum + one * one, 0);
  const { values } = eigen(normal(features, size));
  return Math.sqrt(Math.max(Math.min(...values), 0)) > 1e-6 * Math.sqrt(squares);
}

function normal(rows: Matrix, size: number): Matrix {
  return Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)));
}

/** Matrix that takes features to places, up to its size (Hartley and Zisserman 2004, 4.1). */
export function directLinear(features: Matrix, places: Matrix): Matrix {
  const size = features[0]!.length;
  const nothing = new Array<number>(size).fill(0);
  const rows: Matrix = [];
  features.forEach((f, i) => {
    const [x, y] = [places[i]![0]!, places[i]![1]!];
    rows.push([...f, ...nothing, ...f.map((one) => -x * one)]);
    rows.push([...nothing, ...f, ...f.map((one) => -y * one)]);
  });
  const { values, vectors } = eigen(normal(rows, 3 * size));
  const least = values.indexOf(Math.min(...values));
  const column = vectors.map((row) => row[least]!);
  const matrix = [0, 1, 2].map((i) => column.slice(i * size, (i + 1) * size));
  const first = matrix[2]!.reduce((sum, m, k) => sum + m * features[0]![k]!, 0);
  return first > 0 ? matrix : matrix.map((row) => row.map((one) => -one));
}

/** Directions square to the matrix, by one Householder reflection of it. */
function tangent(map: ProjectiveMap): Matrix {
  const x = map.matrix.flat();
  const size = x.length;
  const rest = Math.sqrt(x.slice(1).reduce((sum, one) => sum + one * one, 0));
  if (rest === 0) {
    return x.map((_, i) => Array.from({ length: size - 1 }, (__, j) => (i === j + 1 ? 1 : 0)));
  }
  const alpha = x[0]!;
  const beta = -(alpha >= 0 ? 1 : -1) * Math.hypot(alpha, rest);
  const tau = (beta - alpha) / beta;
  const v = x.map((one, i) => (i === 0 ? 1 : one / (alpha - beta)));
  return x.map((_, i) =>
    Array.from({ length: size - 1 }, (__, j) => (i === j + 1 ? 1 : 0) - tau * v[i]! * v[j + 1]!));
}

interface Slopes {
  readonly wall: readonly [number, number, number, number]; // du/dx du/dy dv/dx dv/dy
  readonly parameters: readonly [number[], number[]];
  readonly at: readonly [number, number];
}

function slopes(map: ProjectiveMap, x: number, y: number, free: Matrix): Slopes {
  const features = map.features(x, y);
  const [a, b, depth] = map.seen(features);
  const half = map.half;
  const by = [[half / depth, 0, (-half * a) / depth ** 2], [0, half / depth, (-half * b) / depth ** 2]];
  const perX = map.matrix.map((row) =>
    row[0]! / map.spread + (map.hinge !== null && x > map.hinge ? row[3]! / map.spread : 0));
  const perY = map.matrix.map((row) => row[1]! / map.spread);
  const dot = (row: number[], other: number[]): number => row.reduce((s, one, k) => s + one * other[k]!, 0);
  const parameters = by.map((row) => {
    const flat: number[] = [];
    for (let i = 0; i < 3; i++) for (const f of features) flat.push(row[i]! * f);
    return free[0]!.map((_, k) => flat.reduce((sum, one, i) => sum + one * free[i]![k]!, 0));
  });
  return {
    wall: [dot(by[0]!, perX), dot(by[0]!, perY), dot(by[1]!, perX), dot(by[1]!, perY)],
    parameters: [parameters[0]!, parameters[1]!],
    at: [map.centre[0] + (half * a) / depth, map.centre[1] + (half * b) / depth],
  };
}

type Weight = readonly [number, number, number]; // lower triangle: [0][0], [1][0], [1][1]

function weights(map: ProjectiveMap, marks: readonly MarkSeen[]): Weight[] {
  const free = tangent(map);
  return marks.map((one) => {
    const [a, b, c, d] = slopes(map, one.x, one.y, free).wall;
    const m = one.markSigma ** 2;
    const p = one.pxSigma ** 2;
    const s00 = p + m * (a * a + b * b);
    const s01 = m * (a * c + b * d);
    const s11 = p + m * (c * c + d * d);
    const l00 = Math.sqrt(s00);
    const l10 = s01 / l00;
    const l11 = Math.sqrt(s11 - l10 * l10);
    return [1 / l00, -l10 / (l00 * l11), 1 / l11];
  });
}

function misfitOf(map: ProjectiveMap, marks: readonly MarkSeen[], w: readonly Weight[]): number {
  return marks.reduce((sum, one, i) => {
    const [u, v] = map.px(one.x, one.y);
    const [l00, l10, l11] = w[i]!;
    return sum + (l00 * (one.u - u)) ** 2 + (l10 * (one.u - u) + l11 * (one.v - v)) ** 2;
  }, 0);
}

interface Equations {
  readonly normal: Matrix;
  readonly pull: number[];
  readonly misfit: number;
  readonly free: Matrix;
}

function equations(map: ProjectiveMap, marks: readonly MarkSeen[], w: readonly Weight[]): Equations {
  const free = tangent(map);
  const count = free[0]!.length;
  const design: Matrix = [];
  const missed: number[] = [];
  marks.forEach((one, i) => {
    const { parameters, at } = slopes(map, one.x, one.y, free);
    const [l00, l10, l11] = w[i]!;
    const [du, dv] = [one.u - at[0], one.v - at[1]];
    design.push(parameters[0].map((p) => l00 * p));
    missed.push(l00 * du);
    design.push(parameters[0].map((p, k) => l10 * p + l11 * parameters[1][k]!));
    missed.push(l10 * du + l11 * dv);
  });
  const pull = Array.from({ length: count }, (_, k) =>
    design.reduce((sum, row, i) => sum + row[k]! * missed[i]!, 0));
  return {
    normal: normal(design, count), pull, misfit: missed.reduce((sum, one) => sum + one * one, 0), free,
  };
}

function moved(map: ProjectiveMap, free: Matrix, step: readonly number[]): ProjectiveMap {
  const size = map.matrix[0]!.length;
  const change = free.map((row) => row.reduce((sum, one, k) => sum + one * step[k]!, 0));
  return new ProjectiveMap({
    ...{ hinge: map.hinge, middle: map.middle, spread: map.spread, centre: map.centre, half: map.half },
    matrix: map.matrix.map((row, i) => row.map((one, j) => one + change[i * size + j]!)),
  });
}

function damped(n: Matrix, damping: number): Matrix {
  const trace = n.reduce((sum, row, i) => sum + row[i]!, 0);
  return n.map((row, i) =>
    row.map((one, j) => (i === j ? one + damping * (one + 1e-12 * trace) : one)));
}

/** The map after its last steps, too small for the misfit's rounding to judge them. */
function toTheBottom(start: ProjectiveMap, marks: readonly MarkSeen[], w: readonly Weight[]): ProjectiveMap {
  let map = start;
  for (let i = 0; i < LAST_STEPS; i++) {
    const { normal: n, pull, misfit: before, free } = equations(map, marks, w);
    const step = solved(damped(n, LAST_DAMPING), pull);
    if (step === null) break;
    const tried = moved(map, free, step);
    if (!(misfitOf(tried, marks, w) <= before + ROUNDING * (1 + before))) break;
    map = tried;
  }
  return map;
}

/** The map that fits the marks best, both their places weighed: Levenberg and Marquardt's steps. */
export function aligned(start: ProjectiveMap, marks: readonly MarkSeen[]): Alignment {
  const parameters = start.matrix.flat().length - 1;
  if (2 * marks.length < parameters) throw new Error("too few marks");
  let map = start;
  let damping = DAMPING;
  let settled = false;
  let w = weights(map, marks);
  for (let round = 0; round < ROUNDS; round++) {
    if (round > 0 && round < REWEIGHED) w = weights(map, marks);
    const { normal: n, pull, misfit: before, free } = equations(map, marks, w);
    let better: { map: ProjectiveMap; after: number } | null = null;
    for (let tries = 0; tries < 8; tries++) {
      const step = solved(damped(n, damping), pull);
      if (step !== null) {
        const tried = moved(map, free, step);
        const after = misfitOf(tried, marks, w);
        if (Number.isFinite(after) && after < before) {
          better = { map: tried, after };
          damping = Math.max(damping / 10, 1e-12);
          break;
        }
      }
      damping *= 10;
    }
    if (better === null) {
      settled = round >= REWEIGHED;
      if (settled) break;
      continue;
    }
    map = better.map;
    if (round >= REWEIGHED && before - better.after <= SETTLED * (1 + before)) {
      settled = true;
      break;
    }
  }
  map = toTheBottom(map, marks, w);
  const { normal: n, misfit } = equations(map, marks, w);
  return {
    map, covariance: inverse(n) ?? [], misfit, freedom: 2 * marks.length - parameters, settled,
  };
}

/** Covariance of where the light falls on the wall: xx, xy, yy in m². */
export function errorCovariance(found: Alignment, x: number, y: number): [number, number, number] {
  const { wall, parameters } = slopes(found.map, x, y, tangent(found.map));
  const [a, b, c, d] = wall;
  const det = a * d - b * c;
  const back = [[d / det, -b / det], [-c / det, a / det]];
  const onWall = back.map((row) =>
    parameters[0].map((p, k) => row[0]! * p + row[1]! * parameters[1][k]!));
  const spread = (i: number, j: number): number =>
    onWall[i]!.reduce((sum, one, k) =>
      sum + one * found.covariance[k]!.reduce((s, cov, l) => s + cov * onWall[j]![l]!, 0), 0);
  return [spread(0, 0), spread(0, 1), spread(1, 1)];
}

/** Radius of the 95 % ellipse's longer half axis. [m] */
export function errorRadius([xx, xy, yy]: readonly [number, number, number]): number {
  const greatest = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  return Math.sqrt(INSIDE_95 * Math.max(greatest, 0));
}
