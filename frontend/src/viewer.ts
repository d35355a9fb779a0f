// The job's page: strip and pane of the wall, figures that unfold, findings that lead to a place.

import { LeftFace } from "./night/left.ts";
import type { Left } from "./night/records.ts";
import { askRecord, askState } from "./page/asking.ts";
import { letChoicesSwap } from "./page/swapping.ts";
import { letFiguresUnfold } from "./page/unfolding.ts";
import { inksOf } from "./wall/inks.ts";
import { Look } from "./wall/look.ts";
import { Pane } from "./wall/pane.ts";
import type { ArtworkDrawing, Box, WallDrawing } from "./wall/records.ts";
import { Strip } from "./wall/strip.ts";
import { makeSwitches } from "./wall/switches.ts";

const LOOK_AGAIN = 3000; // ms between questions whether the job has changed
const NIGHT_AGAIN = 600_000; // ms between questions how long it is dark: by noon another night

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

function boxesOf(holder: HTMLElement): Box[] {
  return JSON.parse(holder.dataset["boxes"] ?? "[]") as Box[];
}

class WallPage {
  readonly #pane: Pane;
  readonly #strip: Strip;
  readonly #look: Look;
  readonly #artworks = new Map<string, Promise<ArtworkDrawing>>();
  readonly #units: string;
  #option = "";
  #lastPlace: HTMLElement | null = null;
  #which = 0;
  #shows = 0;

  constructor(wall: WallDrawing, main: HTMLElement) {
    this.#units = main.dataset["units"] ?? "metric";
    this.#look = new Look(wall, inksOf(), main.dataset["colourway"] ?? "");
    this.#pane = new Pane(element("wall"), this.#look);
    this.#strip = new Strip(
      element("strip") as HTMLCanvasElement, element("window"), this.#look,
      { moveTo: (x) => this.#pane.moveTo(x), zoomBy: (factor) => this.#pane.zoomBy(factor) },
    );
    makeSwitches(document.querySelector("fieldset.layers"), this.#pane);
    this.#stand();
    this.#pane.onSight((sight) => {
      this.#strip.follow(sight);
      sessionStorage.setItem("giornata.standing", JSON.stringify(this.#pane.standing));
    });
    const readout = element("readout");
    readout.textContent = "Drag to move; click, then turn the wheel to zoom.";
    this.#pane.onPointer((text) => {
      readout.textContent = text;
    });
    const bar = element("scale");
    this.#pane.onScale((text, pixels) => {
      bar.style.width = `${pixels}px`;
      bar.textContent = text;
    });
    element("nearer").addEventListener("click", () => this.#pane.zoomBy(1.5));
    element("farther").addEventListener("click", () => this.#pane.zoomBy(1 / 1.5));
    element("whole").addEventListener("click", () => this.#pane.showWhole());
    element("height").addEventListener("click", () => this.#pane.fillHeight(false));
    document.addEventListener("click", (event) => {
      const place = (event.target as Element).closest<HTMLElement>("button.place");
      if (place !== null) this.#goTo(place, readout);
    });
    document.addEventListener("giornata:light", () => this.#restyle());
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.#restyle());
  }

  /** Where the pane stood before a reload, else the wall's left end as high as the pane. */
  #stand(): void {
    this.#pane.fillHeight(true);
    const kept = sessionStorage.getItem("giornata.standing");
    if (kept !== null) this.#pane.stand(JSON.parse(kept) as number[]);
  }

  #restyle(): void {
    this.#look.inks = inksOf();
    this.#pane.restyle();
    this.#strip.draw();
  }

  #goTo(place: HTMLElement, readout: HTMLElement): void {
    const boxes = boxesOf(place);
    this.#which = place === this.#lastPlace ? (this.#which + 1) % boxes.length : 0;
    this.#lastPlace = place;
    this.#pane.showPlaces(boxes, this.#which);
    const more = boxes.length > 1 ? `, place ${this.#which + 1} of ${boxes.length}` : "";
    readout.textContent = `${place.textContent ?? ""}${more}`;
    element("wall").scrollIntoView({ block: "nearest" });
  }

  /** Show an option in a colourway; a colourway changes colours, never geometry. */
  async show(option: string, colourway: string): Promise<void> {
    this.#look.colourway = colourway;
    const mine = (this.#shows += 1);
    if (option === this.#option) {
      this.#restyle();
    } else {
      let artwork = this.#artworks.get(option);
      if (artwork === undefined) {
        const asked = new URLSearchParams({ option, units: this.#units });
        artwork = askRecord<ArtworkDrawing>(`/api/artwork?${asked.toString()}`);
        this.#artworks.set(option, artwork);
        artwork.catch(() => this.#artworks.delete(option)); // to be asked for again
      }
      const drawn = await artwork;
      if (mine !== this.#shows) return; // another one is to be shown by now
      this.#option = option;
      this.#pane.showArtwork(drawn);
      this.#restyle();
      this.#strip.showArtwork(drawn);
    }
    this.#strip.showPlaces(boxesOf(element("places")));
    document.documentElement.dataset["drawn"] = `${option} ${colourway}`;
  }
}

async function begin(main: HTMLElement): Promise<void> {
  const units = main.dataset["units"] ?? "metric";
  letFiguresUnfold(units);
  const version = main.dataset["version"] ?? "";
  const notice = element("changed");
  setInterval(() => {
    if (document.hidden) return;
    void askState().then((now) => {
      if (now !== null && now.version !== version) notice.hidden = false;
    });
  }, LOOK_AGAIN);
  const tonight = new LeftFace(element("tonight"));
  const askTonight = async (): Promise<void> => {
    tonight.show(await askRecord<Left>(`/api/tonight?units=${units}`), Date.now());
  };
  void askTonight().catch(() => undefined); // the notice says what is amiss
  setInterval(() => void askTonight().catch(() => undefined), NIGHT_AGAIN);
  const wall = await askRecord<WallDrawing>(`/api/wall?units=${units}`);
  const page = new WallPage(wall, main);
  letChoicesSwap(({ option, colourway }) => void page.show(option, colourway));
  await page.show(main.dataset["option"] ?? "", main.dataset["colourway"] ?? "");
}

const main = document.querySelector<HTMLElement>("main[data-option]");
if (main !== null) void begin(main);
