// Where places of a wall fall in a projector's picture, by the same formulas as the program's own
// (core/projection/wall_maps.py, poses.py): flat, folded or curved walls, lenses that bend lines.

export type Point = readonly [number, number];

/** From a place on the wall (chainage, level; m) to the picture (px). */
export interface WallMap {
  px(x: number, y: number): Point;
  /** Whether a straight line on the wall is straight in the picture. */
  readonly straight: boolean;
}

export interface ProjectiveForm {
  readonly matrix: readonly (readonly number[])[];
  readonly hinge: number | null;
  readonly middle: Point;
  readonly spread: number;
  readonly centre: Point;
  readonly half: number;
}

/** A flat wall, or one that folds at a hinge, seen by a projector of which nothing is known. */
export class ProjectiveMap implements WallMap, ProjectiveForm {
  readonly matrix: readonly (readonly number[])[];
  readonly hinge: number | null;
  readonly middle: Point;
  readonly spread: number;
  readonly centre: Point;
  readonly half: number;

  constructor(form: ProjectiveForm) {
    const size = Math.sqrt(form.matrix.flat().reduce((sum, one) => sum + one * one, 0));
    this.matrix = form.matrix.map((row) => row.map((one) => one / size));
    this.hinge = form.hinge;
    this.middle = form.middle;
    this.spread = form.spread;
    this.centre = form.centre;
    this.half = form.half;
  }

  get straight(): boolean {
    return this.hinge === null;
  }

  features(x: number, y: number): number[] {
    const along = (x - this.middle[0]) / this.spread;
    const up = (y - this.middle[1]) / this.spread;
    if (this.hinge === null) return [along, up, 1];
    return [along, up, 1, Math.max(x - this.hinge, 0) / this.spread];
  }

  seen(features: readonly number[]): [number, number, number] {
    const three = this.matrix.map((row) => row.reduce((sum, m, k) => sum + m * features[k]!, 0));
    return [three[0]!, three[1]!, three[2]!];
  }

  px(x: number, y: number): Point {
    const [u, v, depth] = this.seen(this.features(x, y));
    return [this.centre[0] + (this.half * u) / depth, this.centre[1] + (this.half * v) / depth];
  }
}

export interface PoseForm {
  readonly axes: readonly (readonly number[])[];
  readonly lens: readonly number[];
  readonly focal: number;
  readonly centre: Point;
  readonly bend: number;
  readonly origin: number;
  readonly curvature: number;
  readonly fold: number;
}

/** A wall seen by a projector whose throw ratio and shift are known. */
export class PoseMap implements WallMap {
  readonly form: PoseForm;

  constructor(form: PoseForm) {
    this.form = form;
  }

  get straight(): boolean {
    return this.form.bend === 0 && this.form.curvature === 0 && this.form.fold === 0;
  }

  px(x: number, y: number): Point {
    const { axes, lens, focal, centre, bend, origin, curvature, fold } = this.form;
    const on = x - origin;
    let along = on;
    let out = 0;
    if (curvature !== 0) {
      const angle = on * curvature;
      along = on * sinc(angle);
      out = ((-on * angle) / 2) * sinc(angle / 2) ** 2;
    }
    if (fold !== 0) {
      const beyond = Math.max(on, 0);
      along -= beyond * (1 - Math.cos(fold));
      out += beyond * Math.sin(fold);
    }
    const from = [origin + along - lens[0]!, y - lens[1]!, out - lens[2]!];
    const [a, b, depth] = axes.map((row) => row.reduce((sum, m, k) => sum + m * from[k]!, 0));
    const u = a! / depth!;
    const v = b! / depth!;
    const swell = 1 + bend * (u * u + v * v);
    return [centre[0] + focal * u * swell, centre[1] + focal * v * swell];
  }
}

function sinc(angle: number): number {
  return angle === 0 ? 1 : Math.sin(angle) / angle;
}

/** Another map, its picture moved by a matrix 3 x 3. */
export class MovedMap implements WallMap {
  readonly of: WallMap;
  readonly by: readonly (readonly number[])[];

  constructor(of: WallMap, by: readonly (readonly number[])[]) {
    this.of = of;
    this.by = by;
  }

  get straight(): boolean {
    return this.of.straight;
  }

  px(x: number, y: number): Point {
    const [u, v] = this.of.px(x, y);
    const [a, b, c] = this.by.map((row) => row[0]! * u + row[1]! * v + row[2]!);
    return [a! / c!, b! / c!];
  }
}

/** The map of a picture that was moved by hand on the wall, right and up; m. What was drawn for a place falls beside it. */
export function movedByHand(map: WallMap, [right, up]: Point): WallMap {
  if (right === 0 && up === 0) return map;
  if (map instanceof ProjectiveMap) {
    return new ProjectiveMap({
      matrix: map.matrix, spread: map.spread, centre: map.centre, half: map.half,
      hinge: map.hinge === null ? null : map.hinge - right,
      middle: [map.middle[0] - right, map.middle[1] - up],
    });
  }
  if (map instanceof PoseMap) {
    const [x, y, z] = map.form.lens;
    return new PoseMap({ ...map.form, lens: [x! - right, y! - up, z!], origin: map.form.origin - right });
  }
  if (map instanceof MovedMap) return new MovedMap(movedByHand(map.of, [right, up]), map.by);
  throw new Error("a map of an unknown kind");
}
