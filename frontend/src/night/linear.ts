// Small dense linear algebra: matrices as rows.

export type Matrix = number[][];

/** The solution of a square system, by elimination with row exchanges; null where it has none. */
export function solved(a: Matrix, b: readonly number[]): number[] | null {
  const n = b.length;
  const m = a.map((row, i) => [...row, b[i] ?? 0]);
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(m[i]![k]!) > Math.abs(m[best]![k]!)) best = i;
    const row = m[best]!;
    if (!(Math.abs(row[k]!) > 0)) return null;
    m[best] = m[k]!;
    m[k] = row;
    for (let i = k + 1; i < n; i++) {
      const other = m[i]!;
      const factor = other[k]! / row[k]!;
      if (factor === 0) continue;
      for (let j = k; j <= n; j++) other[j] = other[j]! - factor * row[j]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    const row = m[i]!;
    let sum = row[n]!;
    for (let j = i + 1; j < n; j++) sum -= row[j]! * x[j]!;
    x[i] = sum / row[i]!;
  }
  return x;
}

/** The inverse of a square matrix; null where it has none. */
export function inverse(a: Matrix): Matrix | null {
  const n = a.length;
  const columns: number[][] = [];
  for (let k = 0; k < n; k++) {
    const unit = new Array<number>(n).fill(0);
    unit[k] = 1;
    const column = solved(a, unit);
    if (column === null) return null;
    columns.push(column);
  }
  return columns.map((_, i) => columns.map((column) => column[i]!));
}

/** Eigenvalues of a symmetric matrix and its eigenvectors as columns, by Jacobi's rotations. */
export function eigen(symmetric: Matrix): { values: number[]; vectors: Matrix } {
  const n = symmetric.length;
  const a = symmetric.map((row) => [...row]);
  const v: Matrix = a.map((_, i) => a.map((__, j) => (i === j ? 1 : 0)));
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) off += a[p]![q]! ** 2;
    if (off === 0) break;
    for (let p = 0; p < n; p++) {
      for (let q = p + 1; q < n; q++) {
        const apq = a[p]![q]!;
        if (apq === 0) continue;
        const theta = (a[q]![q]! - a[p]![p]!) / (2 * apq);
        const t = Math.sign(theta || 1) / (Math.abs(theta) + Math.hypot(1, theta));
        const c = 1 / Math.hypot(1, t);
        const s = t * c;
        for (let k = 0; k < n; k++) {
          const kp = a[k]![p]!;
          const kq = a[k]![q]!;
          a[k]![p] = c * kp - s * kq;
          a[k]![q] = s * kp + c * kq;
        }
        for (let k = 0; k < n; k++) {
          const pk = a[p]![k]!;
          const qk = a[q]![k]!;
          a[p]![k] = c * pk - s * qk;
          a[q]![k] = s * pk + c * qk;
          const vkp = v[k]![p]!;
          const vkq = v[k]![q]!;
          v[k]![p] = c * vkp - s * vkq;
          v[k]![q] = s * vkp + c * vkq;
        }
        a[p]![q] = 0;
        a[q]![p] = 0;
      }
    }
  }
  return { values: a.map((row, i) => row[i]!), vectors: v };
}
