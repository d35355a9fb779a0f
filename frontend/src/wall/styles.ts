// Styles: lines and labels of the drawing; told apart by line and word, not by hue alone.

import type { FeatureLike } from "ol/Feature.js";
import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import type { Inks } from "./inks.ts";
import type { Look } from "./look.ts";

const FACE = '"IBM Plex Sans", sans-serif';

function hatch(inks: Inks): CanvasPattern | string {
  const tile = document.createElement("canvas");
  tile.width = tile.height = 8;
  const pen = tile.getContext("2d");
  if (pen === null) return inks.grey;
  pen.strokeStyle = inks.ink;
  pen.lineWidth = 1;
  pen.beginPath();
  for (const x of [-4, 4, 12]) {
    pen.moveTo(x - 4, 8);
    pen.lineTo(x + 4, 0);
  }
  pen.stroke();
  return pen.createPattern(tile, "repeat") ?? inks.grey;
}

function line(color: string, width: number, lineDash: number[] = []): Style {
  return new Style({ stroke: new Stroke({ color, width, lineDash }) });
}

function label(inks: Inks, bold: boolean, offsetY: number): Style {
  return new Style({
    text: new Text({
      font: `${bold ? "bold " : ""}13px ${FACE}`,
      fill: new Fill({ color: inks.ink }),
      stroke: new Stroke({ color: inks.paper, width: 4 }),
      overflow: true,
      offsetY,
    }),
  });
}

/** Styles of every part of the drawing in the page's inks. */
function partStyles(inks: Inks): Record<string, Style[]> {
  const cross = new RegularShape({
    points: 4, radius: 9, radius2: 0, stroke: new Stroke({ color: inks.accent, width: 2 }),
  });
  const mark = new RegularShape({
    points: 4, radius: 8, radius2: 0, angle: Math.PI / 4,
    stroke: new Stroke({ color: inks.ink, width: 2 }),
  });
  const halo = new RegularShape({
    points: 4, radius: 10, radius2: 0, angle: Math.PI / 4,
    stroke: new Stroke({ color: inks.paper, width: 5 }),
  });
  const spot = new Circle({
    radius: 5,
    stroke: new Stroke({ color: inks.warning, width: 2 }),
    fill: new Fill({ color: `${inks.paper}b0` }),
  });
  return {
    face: [new Style({ fill: new Fill({ color: inks.paper }) })],
    rim: [line(inks.ink, 1.5)],
    ground: [line(inks.ink, 3)],
    bay: [line(inks.grey, 1)],
    joint: [line(inks.paper, 3), line(inks.ink, 1.25, [9, 3, 2, 3])],
    pier: [
      new Style({ stroke: new Stroke({ color: inks.paper, width: 3 }) }),
      line(inks.ink, 1.25, [4, 2]),
    ],
    bend: [line(inks.paper, 5), line(inks.ink, 2.5, [14, 5])],
    opening: [
      new Style({
        fill: new Fill({ color: inks.surround }),
        stroke: new Stroke({ color: inks.ink, width: 1.5 }),
      }),
    ],
    cross: [line(inks.grey, 1)],
    obstacle: [
      new Style({
        fill: new Fill({ color: hatch(inks) }),
        stroke: new Stroke({ color: inks.ink, width: 1.25 }),
      }),
    ],
    lamp: [line(inks.ink, 1.5, [2, 3])],
    image: [line(inks.paper, 3.5), line(inks.accent, 1.75, [12, 5])],
    imageFails: [line(inks.paper, 3.5), line(inks.warning, 2.5, [4, 4])],
    lens: [new Style({ image: cross })],
    mark: [new Style({ image: halo }), new Style({ image: mark })],
    narrow: [new Style({ image: spot })],
    clash: [line(inks.paper, 4), line(inks.warning, 2)],
    found: [line(inks.paper, 6), line(inks.warning, 3)],
  };
}

/** The style function of all layers but the artwork; made anew when the inks change. */
export function drawingStyle(look: Look): (feature: FeatureLike, resolution: number) => Style[] {
  const inks = look.inks;
  const parts = partStyles(inks);
  const labels: Record<string, Style> = {
    bay: label(inks, false, 0),
    above: label(inks, false, -12),
    opening: label(inks, true, 0),
    obstacle: label(inks, false, 0),
    lens: label(inks, true, -18),
    mark: label(inks, false, -17),
  };
  return (feature, resolution) => {
    const part = String(feature.get("part"));
    if (feature.getGeometry()?.getType() !== "Point") {
      return parts[feature.get("passes") === false ? "imageFails" : part] ?? [];
    }
    const own = parts[part]?.filter((style) => style.getImage() !== null) ?? [];
    const text = labels[part];
    // Far off, only the numbers of set-ups and the names of openings can be read.
    const near = resolution < 0.03 || part === "lens" || part === "opening";
    if (text === undefined || !near) return own;
    const named = text.clone();
    named.getText()?.setText(String(feature.get("name")));
    return [...own, named];
  };
}

/** The style function of the artwork: paints by number, seams covered by a hair of their own. */
export function artworkStyle(look: Look): (feature: FeatureLike) => Style {
  const made = new Map<number, Style>();
  return (feature) => {
    const paint = Number(feature.get("paint"));
    let style = made.get(paint);
    if (style === undefined) {
      const color = look.colour(paint);
      style = new Style({ fill: new Fill({ color }), stroke: new Stroke({ color, width: 0.7 }) });
      made.set(paint, style);
    }
    return style;
  };
}
