// What the laptop tells of the night.

import type { Point, PoseForm, ProjectiveForm } from "./maps.ts";

export interface Squared {
  readonly form: (ProjectiveForm & { readonly kind: "projective" }) | (PoseForm & { readonly kind: "pose" }) | null;
  readonly kind: string;
  readonly most: string;
  readonly worst: string;
  readonly bad: readonly string[];
  readonly named: boolean;
  readonly findings: readonly (readonly [string, string, string])[];
}

export interface Placed {
  readonly name: string;
  readonly x: number; // px
  readonly y: number;
  readonly sigma: number; // px
}

export interface Shown {
  readonly view: string;
  readonly paint: string;
  readonly thick: boolean;
  readonly crosses: boolean;
}

export interface Left {
  readonly known: boolean;
  readonly dark: readonly { readonly begins: string; readonly ends: string; readonly begin: string; readonly end: string }[];
  readonly never: string; // why it does not get dark; "" where it does
  readonly fits: string; // how many set-ups fit before light; "" where nobody knows
  readonly battery: string; // ISO; "" where nobody knows
}

export interface NightState {
  readonly run: string; // of the laptop's program: one begun anew is another one
  readonly read: number; // counted by that program since it began
  readonly number: number; // of the last event in the log
  readonly version: string; // of the job; "" while it is being worked out
  readonly way: string; // what stands in the way; "" for nothing
  readonly where: string; // the present set-up among those that are projected
  readonly order: readonly number[]; // of work, as planned
  readonly set_up: number; // 0 before the first
  readonly begun: string; // ISO; "" for none
  readonly now: string;
  readonly done: readonly number[];
  readonly shown: Shown;
  readonly means: string;
  readonly placed: readonly Placed[];
  readonly by_hand: { readonly right: number; readonly up: number; readonly words: string }; // m
  readonly traced: readonly string[];
  readonly undo: { readonly number: number; readonly words: string } | null;
  readonly flash: { readonly mark: string; readonly number: number; readonly age: number } | null;
  readonly note: string;
  readonly photos: readonly string[];
  readonly moved: string; // by how much a closure moved the design in it; "" for not
  readonly design: number; // event that moved the design in this set-up; 0 for none
  readonly stands: readonly { readonly name: string; readonly at: Point }[]; // marks as adjusted
  readonly square: Squared | null;
  readonly left: Left | null;
  readonly projector: { readonly open: boolean; readonly faults: readonly string[] };
}

export interface Drag {
  readonly set_up: number;
  readonly mark: string;
  readonly x: number;
  readonly y: number;
  readonly by: string;
  readonly seq: number;
}

export interface Line {
  readonly key: string;
  readonly paints: readonly [string, string];
  readonly name: string;
  readonly length: string;
  readonly metres: number;
  readonly once: readonly string[]; // keys of older logs
}

export interface Stretch {
  readonly where: string;
  readonly lines: readonly Line[];
}

export interface SetUpDrawing {
  readonly version: string;
  readonly number: number;
  readonly columns: number;
  readonly rows: number;
  readonly plan: readonly (readonly number[])[]; // from the wall to the picture, as planned
  readonly pitch: number; // m a pixel
  readonly window: readonly [number, number, number, number];
  readonly hinge: number | null;
  readonly marks: readonly { readonly name: string; readonly at: Point }[];
  readonly mark_sigma: number; // m
  readonly aiming: number; // px
  readonly paints: readonly (readonly [number, string, string])[]; // number, key, name
  readonly fill: Readonly<Record<string, string>>;
  readonly contrast: Readonly<Record<string, string>>;
  readonly paint: readonly number[]; // of each region
  readonly regions: readonly (readonly (readonly number[])[])[]; // rings as steps of 10 µm
  readonly net: readonly (readonly number[])[];
  readonly between: readonly (readonly number[])[];
  readonly rim: readonly (readonly number[])[];
  readonly stretches: readonly Stretch[];
  readonly line_unit: readonly [string, number]; // name, m
  readonly small_unit: readonly [string, number]; // in which misses are typed: name, m
  readonly steps: readonly (readonly [string, number])[]; // m
  readonly label_at: Point; // on the wall, m
  readonly letter: number; // m
  readonly arm: number; // m
}
