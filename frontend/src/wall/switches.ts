// Switches: which layers of the drawing are shown, kept while the page is open.

import type { Pane, Switch } from "./pane.ts";

const SWITCHES: readonly Switch[] = [
  { key: "artwork", name: "artwork", shown: true },
  { key: "bays", name: "bays", shown: true },
  { key: "joints", name: "joints, piers, bends", shown: true },
  { key: "openings", name: "openings", shown: true },
  { key: "around", name: "obstacles, lamps", shown: true },
  { key: "setups", name: "set-ups", shown: true },
  { key: "marks", name: "control marks", shown: true },
  { key: "narrow", name: "narrow places, clashes", shown: false },
];

/** Put a switch for each layer into a fieldset. */
export function makeSwitches(fieldset: Element | null, pane: Pane): void {
  const kept = JSON.parse(sessionStorage.getItem("giornata.layers") ?? "{}") as Record<
    string, boolean
  >;
  for (const one of SWITCHES) {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.name = one.key;
    box.checked = kept[one.key] ?? one.shown;
    label.append(box, one.name);
    fieldset?.append(label);
    pane.setVisible(one.key, box.checked);
    box.addEventListener("change", () => {
      kept[one.key] = box.checked;
      sessionStorage.setItem("giornata.layers", JSON.stringify(kept));
      pane.setVisible(one.key, box.checked);
    });
  }
}
