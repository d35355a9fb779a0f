// Chainages and levels in the reader's units, and the ruler's steps.

const FOOT = 0.3048; // m, exact

/** A chainage or level: "12.34 m", or feet and inches to 1/8 in. */
export function placed(value: number, units: "metric" | "us"): string {
  if (units === "metric") return `${(Math.round(value * 100) / 100 + 0).toFixed(2)} m`;
  const eighths = Math.round((Math.abs(value) / FOOT) * 96);
  const feet = Math.floor(eighths / 96);
  const inches = Math.floor((eighths % 96) / 8);
  const over = eighths % 8;
  const step = over === 0 ? 1 : over % 4 === 0 ? 4 : over % 2 === 0 ? 2 : 1;
  const fraction = over === 0 ? "" : ` ${over / step}/${8 / step}`;
  return `${value < 0 && eighths > 0 ? "-" : ""}${feet} ft ${inches}${fraction} in`;
}

export interface Tick {
  readonly at: number; // m
  readonly text: string;
}

/** The ruler between two chainages, with labels at least so many metres apart. */
export function ticks(from: number, to: number, apart: number, units: "metric" | "us"): Tick[] {
  const unit = units === "us" ? FOOT : 1;
  const steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
  const step = steps.find((one) => one * unit >= apart) ?? 1000;
  const digits = step < 1 ? 1 : 0;
  const found: Tick[] = [];
  for (let n = Math.ceil(from / unit / step - 1e-9); n * step * unit <= to + 1e-9; n += 1) {
    const text = `${(n * step + 0).toFixed(digits)} ${units === "us" ? "ft" : "m"}`;
    found.push({ at: n * step * unit, text });
  }
  return found;
}

export interface Bar {
  readonly length: number; // m
  readonly text: string;
}

/** The longest round length that is no longer than so many metres. */
export function scaleBar(longest: number, units: "metric" | "us"): Bar {
  const rounds = [1, 2, 5, 10, 20, 50, 100, 200, 500];
  const [unit, name, small, smallName]: [number, string, number, string] =
    units === "us" ? [FOOT, "ft", FOOT / 12, "in"] : [1, "m", 0.001, "mm"];
  const whole = rounds.filter((one) => one * unit <= longest).pop();
  if (whole !== undefined) return { length: whole * unit, text: `${whole} ${name}` };
  const part = rounds.filter((one) => one * small <= longest).pop() ?? 1;
  return { length: part * small, text: `${part} ${smallName}` };
}
