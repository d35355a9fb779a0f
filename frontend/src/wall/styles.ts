// Styles: lines and labels of the drawing; told apart by line and word, not by hue alone.

import type { FeatureLike } from "ol/Feature.js";
import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import Icon from "ol/style/Icon.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import type { Inks } from "./inks.ts";
import type { Look } from "./look.ts";

const PLUS = "M11 2v18M2 11h18";
const TIMES = "M4 4l14 14M4 18l14 -14";
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

/** A sign of 22 px drawn as a path, with a rim of paper so that it stands out on any paint. */
function sign(path: string, ink: string, paper: string, size = 1): Icon {
  const density = 3;
  const img = document.createElement("canvas");
  img.width = img.height = 22 * density;
  const pen = img.getContext("2d");
  if (pen !== null) {
    const drawn = new Path2D(path);
    pen.scale(density, density);
    pen.lineCap = "round";
    for (const [color, width] of [[paper, 5], [ink, 2.25]] as const) {
      pen.strokeStyle = color;
      pen.lineWidth = width;
      pen.stroke(drawn);
    }
  }
  return new Icon({ img, scale: size / density, declutterMode: "none" });
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
  const spot = (radius: number, width: number): Circle =>
    new Circle({
      radius,
      declutterMode: "none",
      stroke: new Stroke({ color: inks.warning, width }),
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
    imageAway: [line(inks.paper, 3.5), line(inks.ink, 1, [1, 7])],
    lens: [new Style({ image: sign(PLUS, inks.accent, inks.paper) })],
    lensFar: [],
    mark: [new Style({ image: sign(TIMES, inks.ink, inks.paper) })],
    markFar: [new Style({ image: sign(TIMES, inks.ink, inks.paper, 0.4) })],
    narrow: [new Style({ image: spot(5, 2) })],
    narrowFar: [new Style({ image: spot(1.5, 1) })],
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
    lens: label(inks, true, -20),
    mark: label(inks, false, -17),
  };
  return (feature, resolution) => {
    const part = String(feature.get("part"));
    if (feature.getGeometry()?.getType() !== "Point") {
      return parts[feature.get("passes") === false ? "imageFails" : part] ?? [];
    }
    // Far off, signs are small, and only the numbers of set-ups and names of openings are read.
    const near = resolution < 0.03;
    const signs = (near ? undefined : parts[`${part}Far`]) ?? parts[part] ?? [];
    const own = signs.filter((style) => style.getImage() !== null);
    const text = labels[part];
    if (text === undefined || !(near || part === "lens" || part === "opening")) return own;
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
