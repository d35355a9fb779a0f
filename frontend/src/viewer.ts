// The long wall on a page: an element with id "wall" becomes a map whose coordinates are metres,
// chainage to the right and level up.

import Map from "ol/Map.js";
import View from "ol/View.js";
import { defaults } from "ol/control/defaults.js";
import ScaleLine from "ol/control/ScaleLine.js";
import Projection from "ol/proj/Projection.js";
import "ol/ol.css";

const target = document.getElementById("wall");
if (target !== null) {
  const length = Number(target.dataset["length"] ?? "1"); // m
  const height = Number(target.dataset["height"] ?? "1"); // m
  const extent = [0, 0, length, height];
  const view = new View({
    projection: new Projection({ code: "wall", units: "m", extent }),
    showFullExtent: true,
  });
  new Map({ target, view, controls: defaults().extend([new ScaleLine()]) });
  view.fit(extent);
}
