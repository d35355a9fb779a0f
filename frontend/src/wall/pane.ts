// The pane: the wall to scale, to be moved and zoomed; metres are its coordinates.

import OlMap from "ol/Map.js";
import View from "ol/View.js";
import type Feature from "ol/Feature.js";
import { defaults } from "ol/interaction/defaults.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import VectorLayer from "ol/layer/Vector.js";
import Projection from "ol/proj/Projection.js";
import VectorSource from "ol/source/Vector.js";
import "ol/ol.css";
import * as features from "./features.ts";
import type { Look } from "./look.ts";
import { placed, scaleBar } from "./measures.ts";
import type { ArtworkDrawing, Box } from "./records.ts";
import { artworkStyle, drawingStyle } from "./styles.ts";

const AROUND = 1.5; // m of height left around the wall when it fills the pane
const ROOM = 1.6; // m shown at least around a place

export interface Sight {
  readonly start: number; // m
  readonly end: number; // m
}

export interface Switch {
  readonly key: string;
  readonly name: string;
  readonly shown: boolean;
}

type Layer = VectorLayer<VectorSource<Feature>>;

export class Pane {
  readonly #map: OlMap;
  readonly #view: View;
  readonly #look: Look;
  readonly #layers: Map<string, Layer>;

  constructor(target: HTMLElement, look: Look) {
    this.#look = look;
    const wall = look.wall;
    this.#layers = new Map(
      [
        this.#layer("face", features.wallFeatures(wall), 0),
        this.#layer("artwork", [], 1),
        this.#layer("rim", features.outlineFeatures(wall), 3),
        this.#layer("joints", features.jointFeatures(wall), 4),
        this.#layer("bays", features.bayFeatures(wall), 4),
        this.#layer("around", features.aroundFeatures(wall), 5),
        this.#layer("openings", features.openingFeatures(wall), 6),
        this.#layer("setups", features.setUpFeatures(wall), 7),
        this.#layer("marks", features.markFeatures(wall), 8),
        this.#layer("narrow", [], 9),
        this.#layer("found", [], 10),
      ],
    );
    const extent = [-2, wall.low - 2, wall.length + 2, wall.high + 2];
    this.#view = new View({
      projection: new Projection({ code: "wall", units: "m", extent }),
      extent,
      constrainOnlyCenter: true,
      smoothExtentConstraint: false,
      smoothResolutionConstraint: false,
      enableRotation: false,
      minResolution: 0.0005,
      maxResolution: Math.max(wall.length, wall.high - wall.low) / 200,
      center: [wall.length / 2, (wall.low + wall.high) / 2],
      resolution: 0.05,
    });
    this.#map = new OlMap({
      target,
      view: this.#view,
      layers: [...this.#layers.values()],
      controls: [],
      interactions: defaults({
        mouseWheelZoom: false,
        doubleClickZoom: false,
        altShiftDragRotate: false,
        pinchRotate: false,
      }).extend([
        // The wheel scrolls the page until the pane has been clicked.
        new MouseWheelZoom({
          condition: (event) =>
            target.contains(document.activeElement) ||
            (event.originalEvent instanceof WheelEvent && event.originalEvent.ctrlKey),
        }),
      ]),
    });
    this.restyle();
    void document.fonts.ready.then(() => this.restyle());
  }

  #layer(key: string, drawn: Feature[], zIndex: number): [string, Layer] {
    const source = new VectorSource({ features: drawn });
    const flat = key === "artwork" || key === "face";
    const layer = new VectorLayer({
      source, zIndex, declutter: !flat, renderBuffer: flat ? 20 : 200,
      updateWhileAnimating: true, updateWhileInteracting: true,
    });
    return [key, layer];
  }

  #fill(key: string, drawn: Feature[]): void {
    const source = this.#layers.get(key)?.getSource();
    source?.clear(true);
    source?.addFeatures(drawn);
  }

  /** Draw everything in the inks and colours of the look as it is now. */
  restyle(): void {
    const style = drawingStyle(this.#look);
    for (const [key, layer] of this.#layers) {
      layer.setStyle(key === "artwork" ? artworkStyle(this.#look) : style);
    }
  }

  showArtwork(artwork: ArtworkDrawing): void {
    this.#fill("artwork", features.regionFeatures(artwork));
    this.#fill("narrow", features.narrowFeatures(artwork, this.#look.wall));
  }

  setVisible(key: string, shown: boolean): void {
    this.#layers.get(key)?.setVisible(shown);
  }

  /** The stretch of wall that the pane shows. */
  sight(): Sight {
    const [width = 1] = this.#map.getSize() ?? [1];
    const half = (width * (this.#view.getResolution() ?? 1)) / 2;
    const x = this.#view.getCenter()?.[0] ?? 0;
    return { start: x - half, end: x + half };
  }

  onSight(told: (sight: Sight) => void): void {
    const tell = (): void => told(this.sight());
    this.#view.on("propertychange", tell);
    this.#map.on("change:size", tell);
    tell();
  }

  /** A bar of a round length and how long it is drawn, told whenever the scale changes. */
  onScale(told: (text: string, pixels: number) => void): void {
    const tell = (): void => {
      const resolution = this.#view.getResolution() ?? 1;
      const bar = scaleBar(110 * resolution, this.#look.wall.units);
      told(bar.text, bar.length / resolution);
    };
    this.#view.on("change:resolution", tell);
    tell();
  }

  moveTo(chainage: number): void {
    const y = this.#view.getCenter()?.[1] ?? 0;
    const kept = Math.min(Math.max(chainage, 0), this.#look.wall.length);
    this.#view.setCenter([kept, y]);
  }

  zoomBy(factor: number): void {
    this.#view.setResolution((this.#view.getResolution() ?? 0.01) / factor);
  }

  /** The wall as high as the pane; from its left end, or where the pane stands now. */
  fillHeight(fromLeft: boolean): void {
    const { low, high, length } = this.#look.wall;
    const [width = 1, height = 1] = this.#map.getSize() ?? [1, 1];
    const resolution = Math.min((high - low + AROUND) / height, (length + 1) / (width / 2));
    const now = this.#view.getCenter()?.[0] ?? 0;
    const left = Math.min((width * resolution) / 2 - 0.4, length / 2);
    this.#view.setResolution(resolution);
    this.#view.setCenter([fromLeft ? left : now, (low + high) / 2 - 0.1]);
  }

  showWhole(): void {
    const { low, high, length } = this.#look.wall;
    this.#view.fit([-0.5, low - 0.6, length + 0.5, high + 0.6]);
  }

  /** Frame places on the wall and move to one of them. */
  showPlaces(boxes: readonly Box[], which: number): void {
    this.#fill("found", features.foundFeatures(boxes));
    const [x0, y0, x1, y1] = boxes[which] ?? [0, 0, 1, 1];
    this.#view.fit(
      [Math.min(x0, (x0 + x1 - ROOM) / 2), y0 - 0.15, Math.max(x1, (x0 + x1 + ROOM) / 2), y1 + 0.15],
      { padding: [16, 16, 16, 16], minResolution: 0.002 },
    );
  }

  /** What lies under a point of the pane, in words; told whenever the pointer moves. */
  onPointer(told: (text: string) => void): void {
    const wall = this.#look.wall;
    this.#map.on("pointermove", (event) => {
      if (event.dragging) return;
      const [x = 0, y = 0] = event.coordinate;
      const words = [`at ${placed(x, wall.units)}, level ${placed(y, wall.units)}`];
      const region = this.#layers.get("artwork")?.getSource()?.getFeaturesAtCoordinate([x, y])[0];
      if (region !== undefined) words.push(this.#look.paint(Number(region.get("paint"))));
      const spot = this.#map.forEachFeatureAtPixel(
        event.pixel,
        (one) => (one.get("text") === undefined ? undefined : String(one.get("text"))),
        { hitTolerance: 5, layerFilter: (layer) => (layer.getZIndex() ?? 0) >= 4 },
      );
      if (spot !== undefined) words.push(spot);
      told(words.join(" · "));
    });
  }

  /** Where the pane stands, to be taken up again after a reload. */
  get standing(): number[] {
    const [x = 0, y = 0] = this.#view.getCenter() ?? [];
    return [x, y, this.#view.getResolution() ?? 0.01];
  }

  stand(standing: readonly number[]): void {
    const [x = 0, y = 0, resolution = 0.01] = standing;
    this.#view.setResolution(resolution);
    this.#view.setCenter([x, y]);
  }
}
