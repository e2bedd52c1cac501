/** The kernel's input bytes (kernel/FORMAT.md): read into arrays, and written again. */

export interface Problem {
  readonly flags: number;
  readonly sweeps: number;
  readonly ess: number;
  readonly passagePrior: Float64Array;
  readonly sourcePrior: Float64Array;
  readonly loadPrior: Float64Array;
  readonly detail: Float64Array;
  readonly zoneHit: Float64Array;
  readonly zoneFalse: Float64Array;
  readonly emission: Float64Array;
  readonly grid: Float64Array;
  readonly curves: Float64Array;
  readonly soil: Float64Array;
  readonly passageEnds: Int32Array;
  readonly sourceVoid: Int32Array;
  readonly rowOf: Int32Array;
  readonly zoneOffsets: Int32Array;
  readonly zoneVoid: Int32Array;
  readonly readingOffsets: Int32Array;
  readonly readingVoid: Int32Array;
  readonly named: Uint8Array;
  readonly heard: Uint8Array;
}

const HEADER = 80;
const DOUBLES = [
  "passagePrior", "sourcePrior", "loadPrior", "detail", "zoneHit", "zoneFalse", "emission", "grid", "curves", "soil",
] as const;
const INTEGERS = [
  "passageEnds", "sourceVoid", "rowOf", "zoneOffsets", "zoneVoid", "readingOffsets", "readingVoid",
] as const;
const FLAGS = ["named", "heard"] as const;

export const decode = (bytes: Uint8Array): Problem => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = (at: number): number => view.getUint32(at, true);
  const [v, p, e, loads, rows, z, m] = [12, 16, 20, 24, 28, 32, 36].map(count) as [number, number, number, number, number, number, number];
  const [r, s, g, byCell] = [64, 68, 72, 76].map(count) as [number, number, number, number];
  const sizes: Record<string, number> = {
    passagePrior: p, sourcePrior: 3 * e, loadPrior: loads, detail: rows * loads * 18, zoneHit: 3 * m, zoneFalse: z,
    emission: s * loads * 3, grid: g, curves: r * g, soil: byCell ? 6 * s : 0,
    passageEnds: 2 * p, sourceVoid: e, rowOf: v, zoneOffsets: z + 1, zoneVoid: m, readingOffsets: r + 1, readingVoid: s,
    named: e, heard: z,
  };
  let at = HEADER;
  const take = (name: string, width: number): ArrayBuffer => {
    const end = at + sizes[name]! * width;
    const part = bytes.slice(at, end).buffer;
    at = end;
    return part;
  };
  const fields: Record<string, unknown> = { flags: count(8), sweeps: count(44), ess: view.getFloat64(56, true) };
  for (const name of DOUBLES) fields[name] = new Float64Array(take(name, 8));
  for (const name of INTEGERS) fields[name] = new Int32Array(take(name, 4));
  for (const name of FLAGS) fields[name] = new Uint8Array(take(name, 1));
  return fields as unknown as Problem;
};

/** The bytes of a problem; the same problem, seed and chains give the same bytes everywhere. */
export const encode = (problem: Problem, seed: string, chains: number): Uint8Array<ArrayBuffer> => {
  const parts: ArrayBufferView[] = [...DOUBLES, ...INTEGERS, ...FLAGS].map((name) => problem[name]);
  const whole = HEADER + parts.reduce((sum, one) => sum + one.byteLength, 0);
  const bytes = new Uint8Array(whole + ((8 - (whole % 8)) % 8));
  const view = new DataView(bytes.buffer);
  bytes.set([0x57, 0x53, 0x4b, 0x31]);
  const loads = problem.loadPrior.length;
  [
    2, problem.flags, problem.rowOf.length, problem.passagePrior.length, problem.sourceVoid.length, loads,
    problem.detail.length / (loads * 18), problem.zoneFalse.length, problem.zoneVoid.length, chains, problem.sweeps,
  ].forEach((value, n) => view.setUint32(4 + 4 * n, value, true));
  view.setBigUint64(48, BigInt(seed), true);
  view.setFloat64(56, problem.ess, true);
  [problem.readingOffsets.length - 1, problem.readingVoid.length, problem.grid.length, problem.soil.length > 0 ? 1 : 0]
    .forEach((value, n) => view.setUint32(64 + 4 * n, value, true));
  let at = HEADER;
  for (const part of parts) {
    bytes.set(new Uint8Array(part.buffer, part.byteOffset, part.byteLength), at);
    at += part.byteLength;
  }
  return bytes;
};
