// Reads cases from standard input and answers with what the browser's maths makes of each.

import { readFileSync } from "node:fs";

import { aligned, errorCovariance, projectiveStart } from "../src/night/fit.ts";
import type { MarkSeen } from "../src/night/fit.ts";
import { movedByHand, PoseMap, ProjectiveMap } from "../src/night/maps.ts";
import type { Point, PoseForm, ProjectiveForm } from "../src/night/maps.ts";

interface Fit {
  readonly marks: readonly MarkSeen[];
  readonly columns: number;
  readonly rows: number;
  readonly hinge: number | null;
  readonly places: readonly Point[];
}

interface Pose {
  readonly pose: PoseForm;
  readonly places: readonly Point[];
}

interface Moved {
  readonly form: (PoseForm & { readonly kind: "pose" }) | (ProjectiveForm & { readonly kind: "projective" });
  readonly by: Point;
  readonly places: readonly Point[];
}

const asked = JSON.parse(readFileSync(0, "utf8")) as { fits: Fit[]; poses: Pose[]; moved: Moved[] };
const fits = asked.fits.map(({ marks, columns, rows, hinge, places }) => {
  const start = projectiveStart(marks, columns, rows, hinge);
  if (start === null) return null;
  const found = aligned(start, marks);
  return {
    matrix: found.map.matrix,
    misfit: found.misfit,
    freedom: found.freedom,
    settled: found.settled,
    px: places.map(([x, y]) => found.map.px(x, y)),
    covariance: places.map(([x, y]) => errorCovariance(found, x, y)),
  };
});
const poses = asked.poses.map(({ pose, places }) => {
  const map = new PoseMap(pose);
  return places.map(([x, y]) => map.px(x, y));
});
const moved = asked.moved.map(({ form, by, places }) => {
  const map = movedByHand(form.kind === "pose" ? new PoseMap(form) : new ProjectiveMap(form), by);
  return places.map(([x, y]) => map.px(x, y));
});
process.stdout.write(JSON.stringify({ fits, poses, moved }));
