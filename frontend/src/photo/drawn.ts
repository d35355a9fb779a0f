// What is drawn over the photo: known points, outlines, the hull, and the cross; dark under light.

import type { ErrorMark, PhotoOutline, PhotoRecord, Pixel } from "./records.ts";

const SVG = "http://www.w3.org/2000/svg";
const LEAST_ARROW = 0.5; // px of the photo; a residual under it is not drawn
const ENLARGED = 10; // residuals are drawn so many times their size

function made<Name extends keyof SVGElementTagNameMap>(
  name: Name, values: Record<string, string | number>,
): SVGElementTagNameMap[Name] {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(values)) element.setAttribute(key, String(value));
  return element;
}

export class Drawn {
  readonly #group: SVGGElement;

  constructor(group: SVGGElement) {
    this.#group = group;
  }

  show(
    photo: PhotoRecord, cross: Pixel | null, corners: readonly Pixel[], unit: number,
    withErrors: boolean,
  ): void {
    this.#group.replaceChildren();
    this.#line(photo.hull, true, unit, 1.2, `${6 * unit} ${5 * unit}`);
    for (const outline of photo.outlines) this.#outline(outline, unit, photo.width);
    if (corners.length > 0) this.#line(corners, false, unit, 2.5);
    for (const corner of corners) this.#ring(corner, 4, unit);
    photo.points.forEach((point) => {
      const at: Pixel = [point.x, point.y];
      this.#ring(at, 7, unit);
      const label = point.used ? point.label : `${point.label} (left out)`;
      this.#word(label, at, unit, photo.width);
      if (point.off !== null && Math.hypot(...point.off) > LEAST_ARROW) {
        const [dx, dy] = point.off;
        this.#line([at, [point.x - ENLARGED * dx, point.y - ENLARGED * dy]], false, unit, 1.5);
      }
    });
    if (withErrors) for (const mark of photo.errors) this.#error(mark, unit);
    if (cross !== null) this.#cross(cross, unit);
  }

  #outline(outline: PhotoOutline, unit: number, width: number): void {
    this.#line(outline.corners, outline.closed, unit, 2.5);
    const first = outline.corners[0];
    if (first !== undefined) this.#word(outline.name, first, unit, width);
  }

  #line(
    places: readonly Pixel[], closed: boolean, unit: number, width: number, dash = "",
  ): void {
    if (places.length < 2) return;
    const points = places.map((place) => place.join(",")).join(" ");
    for (const [tone, more] of [["light", 2], ["dark", 0]] as const) {
      const line = made(closed ? "polygon" : "polyline", {
        points, class: `drawn-${tone}`, "stroke-width": (width + more) * unit,
      });
      if (dash !== "" && tone === "dark") line.setAttribute("stroke-dasharray", dash);
      this.#group.append(line);
    }
  }

  #ring([x, y]: Pixel, radius: number, unit: number): void {
    for (const [tone, width] of [["light", 4], ["dark", 2]] as const) {
      this.#group.append(
        made("circle", {
          cx: x, cy: y, r: radius * unit, class: `drawn-${tone}`, "stroke-width": width * unit,
        }),
      );
    }
  }

  /** A word to the right of its place; to the left where it would leave the photo. */
  #word(text: string, [x, y]: Pixel, unit: number, width: number): void {
    const word = made("text", {
      x: x + 10 * unit, y: y - 8 * unit, class: "drawn-word",
      "font-size": 13 * unit, "stroke-width": 3 * unit,
    });
    word.textContent = text;
    this.#group.append(word);
    const long = word.getComputedTextLength() + 10 * unit;
    if (x + long > width && x >= long) {
      word.setAttribute("x", String(x - 10 * unit));
      word.setAttribute("text-anchor", "end");
    }
  }

  #error(mark: ErrorMark, unit: number): void {
    const word = made("text", {
      x: mark.at[0], y: mark.at[1] + 4 * unit, class: "drawn-word drawn-error",
      "font-size": 13 * unit, "stroke-width": 3 * unit, "text-anchor": "middle",
    });
    word.textContent = mark.text;
    this.#group.append(word);
  }

  #cross([x, y]: Pixel, unit: number): void {
    const gap = 3 * unit;
    const arm = 18 * unit;
    for (const [tone, width] of [["dark", 4], ["light", 1.8]] as const) {
      for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]] as const) {
        this.#group.append(
          made("line", {
            x1: x + dx * gap, y1: y + dy * gap, x2: x + dx * arm, y2: y + dy * arm,
            class: `cross-${tone}`, "stroke-width": width * unit,
          }),
        );
      }
    }
  }
}
