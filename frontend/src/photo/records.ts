// What the program says of a photo; the same record fills the page.

export type Pixel = readonly [number, number];

export interface MarkedPoint {
  readonly label: string;
  readonly name: string;
  readonly place: string;
  readonly at: string;
  readonly level: string;
  readonly precision: string;
  readonly x: number;
  readonly y: number;
  readonly off: Pixel | null;
  readonly used: boolean;
}

export interface PhotoOutline {
  readonly name: string;
  readonly kind: string;
  readonly closed: boolean;
  readonly corners: readonly Pixel[];
}

export interface ErrorMark {
  readonly at: Pixel;
  readonly text: string;
}

export interface PhotoRecord {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly hull: readonly Pixel[];
  readonly errors: readonly ErrorMark[];
  readonly points: readonly MarkedPoint[];
  readonly outlines: readonly PhotoOutline[];
}

export interface Refusal {
  readonly message?: string;
  readonly remedy?: string;
  readonly stale?: boolean;
  readonly findings?: readonly { readonly entries: readonly { readonly message: string }[] }[];
}

/** A point as the program takes it. */
export function pointForm(point: MarkedPoint): Record<string, string | number> {
  const { name, place, at, level, precision, x, y } = point;
  return { name, place, at, level, precision, x, y };
}

/** An outline as the program takes it. */
export function outlineForm(outline: PhotoOutline): Record<string, unknown> {
  return { name: outline.name, kind: outline.kind, corners: outline.corners };
}
