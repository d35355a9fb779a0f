// Features: what is drawn of the wall, by layer; coordinates are metres of wall.

import Feature from "ol/Feature.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import { fromExtent } from "ol/geom/Polygon.js";
import { levelAt } from "./look.ts";
import type { ArtworkDrawing, Box, DrawnSpan, Ring, WallDrawing } from "./records.ts";
import { unpacked } from "./records.ts";

export const BELOW = 0.6; // m below the lowest ground: where bays are named
export const ABOVE = 0.3; // m above the highest top: where lamps are drawn

function polygon(rings: readonly Ring[]): Polygon {
  return new Polygon(rings.map((ring) => ring.map(([x, y]) => [x, y])));
}

function upright(x: number, from: number, to: number, part: string, name = ""): Feature {
  return new Feature({ geometry: new LineString([[x, from], [x, to]]), part, name });
}

function point(x: number, y: number, part: string, name: string, text = name): Feature {
  return new Feature({ geometry: new Point([x, y]), part, name, text });
}

export function wallFeatures(wall: WallDrawing): Feature[] {
  return [
    new Feature({ geometry: polygon(wall.outline), part: "face" }),
  ];
}

export function outlineFeatures(wall: WallDrawing): Feature[] {
  return [
    ...wall.outline.map((ring) => {
      return new Feature({ geometry: new LineString(ring.map(([x, y]) => [x, y])), part: "rim" });
    }),
    new Feature({
      geometry: new LineString(wall.ground.map(([x, y]) => [x, y])),
      part: "ground",
    }),
  ];
}

export function bayFeatures(wall: WallDrawing): Feature[] {
  const low = wall.low - BELOW;
  const ends = wall.bays.length === 0 ? [] : [0, ...wall.bays.map((bay) => bay.end)];
  return [
    ...ends.map((x) => upright(x, low - 0.14, levelAt(wall.ground, x), "bay")),
    ...wall.bays.map((bay) => point((bay.start + bay.end) / 2, low, "bay", `bay ${bay.name}`)),
  ];
}

export function jointFeatures(wall: WallDrawing): Feature[] {
  const full = (x: number): [number, number] => [levelAt(wall.ground, x), levelAt(wall.top, x)];
  return [
    ...wall.joints.map((x) => upright(x, ...full(x), "joint")),
    ...wall.piers.flatMap((pier) => {
      const middle = (pier.start + pier.end) / 2;
      const ring: [number, number][] = [
        [pier.start, levelAt(wall.ground, pier.start)],
        [pier.end, levelAt(wall.ground, pier.end)],
        [pier.end, levelAt(wall.top, pier.end)],
        [pier.start, levelAt(wall.top, pier.start)],
      ];
      const first = ring[0];
      if (first !== undefined) ring.push(first);
      return [
        new Feature({ geometry: polygon([ring]), part: "pier" }),
        point(middle, levelAt(wall.top, middle), "above", pier.name),
      ];
    }),
    ...wall.bends.flatMap((bend) => [
      upright(bend.at[0], wall.low - 0.1, wall.high + 0.1, "bend"),
      point(bend.at[0], wall.high + 0.1, "above", bend.name, bend.text),
    ]),
    ...wall.curves.flatMap((curve) => [
      upright(curve.start, wall.low - 0.1, wall.high + 0.1, "bend"),
      upright(curve.end, wall.low - 0.1, wall.high + 0.1, "bend"),
      point((curve.start + curve.end) / 2, wall.high + 0.1, "above", curve.name),
    ]),
  ];
}

export function openingFeatures(wall: WallDrawing): Feature[] {
  return wall.openings.flatMap((opening) => {
    const area = polygon(opening.rings);
    const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = area.getExtent();
    return [
      new Feature({ geometry: area, part: "opening" }),
      ...opening.cross.map((line) => {
        return new Feature({ geometry: new LineString(line.map((at) => [...at])), part: "cross" });
      }),
      point((x0 + x1) / 2, (y0 + y1) / 2, "opening", opening.name),
    ];
  });
}

export function aroundFeatures(wall: WallDrawing): Feature[] {
  const over = wall.high + ABOVE;
  return [
    ...wall.obstacles.flatMap((one) => {
      const area = polygon(one.rings);
      const [x0 = 0, y0 = 0, x1 = 0] = area.getExtent();
      return [
        new Feature({ geometry: area, part: "obstacle" }),
        point((x0 + x1) / 2, y0 + 0.3, "obstacle", one.name),
      ];
    }),
    ...wall.lamps.flatMap((lamp) => [
      new Feature({
        geometry: new LineString([
          [lamp.start, over - 0.12], [lamp.start, over], [lamp.end, over], [lamp.end, over - 0.12],
        ]),
        part: "lamp",
      }),
      point((lamp.start + lamp.end) / 2, over, "above", lamp.name),
    ]),
  ];
}

export function setUpFeatures(wall: WallDrawing): Feature[] {
  return wall.set_ups.flatMap((one) => [
    new Feature({
      geometry: fromExtent([...one.box]),
      part: one.projected ? "image" : "imageAway",
      passes: one.passes || !one.projected,
    }),
    point(
      one.centre[0], one.centre[1], "lens",
      one.projected ? String(one.number) : `${one.number} ${one.by}`, `set-up ${one.text}`,
    ),
  ]);
}

export function markFeatures(wall: WallDrawing): Feature[] {
  return wall.marks.map((mark) => point(mark.at[0], mark.at[1], "mark", mark.name, mark.text));
}

export function regionFeatures(artwork: ArtworkDrawing): Feature[] {
  return artwork.regions.map((rings, at) => {
    return new Feature({ geometry: new Polygon(unpacked(rings)), paint: artwork.paint[at] ?? 0 });
  });
}

export function narrowFeatures(artwork: ArtworkDrawing, wall: WallDrawing): Feature[] {
  const over = wall.high + ABOVE / 2;
  const bracket = (clash: DrawnSpan): number[][] => [
    [clash.start, over - 0.1], [clash.start, over], [clash.end, over], [clash.end, over - 0.1],
  ];
  return [
    ...artwork.clashes.map(
      (clash) => new Feature({ geometry: new LineString(bracket(clash)), part: "clash" }),
    ),
    ...artwork.narrow.map((one) => point(one.at[0], one.at[1], "narrow", one.name, one.text)),
  ];
}

export function foundFeatures(boxes: readonly Box[]): Feature[] {
  return boxes.map((box) => new Feature({ geometry: fromExtent([...box]), part: "found" }));
}
