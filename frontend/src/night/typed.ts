// Small lengths as they are typed on site: "34", "-12,5", and in inches "1/4" or "-1 3/8".

const DECIMAL = /^[+-]?(\d+(\.\d*)?|\.\d+)$/;
const FRACTION = /^([+-]?)(?:(\d+) +)?(\d+)\/(\d+)$/;

/** The number that was typed, in the unit it was typed in; NaN for what is none. */
export function typedNumber(text: string): number {
  const plain = text.trim().replace(",", ".").replace("−", "-");
  if (DECIMAL.test(plain)) return Number(plain);
  const found = FRACTION.exec(plain);
  if (found === null || Number(found[4]) === 0) return NaN;
  const size = Number(found[2] ?? 0) + Number(found[3]) / Number(found[4]);
  return found[1] === "-" ? -size : size;
}

/** A short length for the page: whole millimetres, or inches to a tenth. */
export function smallLength(metres: number, [unit, size]: readonly [string, number]): string {
  return `${(metres / size).toFixed(unit === "mm" ? 0 : 1)} ${unit}`;
}
