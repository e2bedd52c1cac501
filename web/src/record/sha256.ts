/**
 * SHA-256 (FIPS 180-4), at once and without a secure context, which the browser's own asks for.
 */

const primes = (count: number): number[] => {
  const found: number[] = [];
  for (let n = 2; found.length < count; n++) if (found.every((p) => n % p)) found.push(n);
  return found;
};
/** First 32 bits of the fractional part. */
const bitsOf = (value: number): number => ((value - Math.floor(value)) * 2 ** 32) | 0;
const K = primes(64).map((p) => bitsOf(Math.cbrt(p)));
const START = primes(8).map((p) => bitsOf(Math.sqrt(p)));

export const sha256 = (content: string | Uint8Array): string => {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  const padded = new Uint8Array(((bytes.length + 8) >> 6 << 6) + 64);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(padded.length - 4, bytes.length << 3);
  const hash = Int32Array.from(START);
  const w = new Int32Array(64);
  for (let at = 0; at < padded.length; at += 64) block(view, at, w, hash);
  return [...hash].map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
};

const turn = (x: number, by: number): number => (x >>> by) | (x << (32 - by));

const block = (view: DataView, at: number, w: Int32Array, hash: Int32Array): void => {
  for (let t = 0; t < 64; t++) {
    if (t < 16) {
      w[t] = view.getInt32(at + 4 * t);
      continue;
    }
    const [x, y] = [w[t - 15]!, w[t - 2]!];
    const s0 = turn(x, 7) ^ turn(x, 18) ^ (x >>> 3);
    const s1 = turn(y, 17) ^ turn(y, 19) ^ (y >>> 10);
    w[t] = (w[t - 16]! + s0 + w[t - 7]! + s1) | 0;
  }
  let [a, b, c, d, e, f, g, h] = hash as unknown as [
    number, number, number, number, number, number, number, number,
  ];
  for (let t = 0; t < 64; t++) {
    const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
    const one = (h + s1 + ((e & f) ^ (~e & g)) + K[t]! + w[t]!) | 0;
    const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
    const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((value, n) => (hash[n] = (hash[n]! + value) | 0));
};
