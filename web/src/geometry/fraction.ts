/** Exact fractions, so that an inch is 25.4 mm to the last bit in both languages. */

export interface Fraction {
  readonly top: bigint;
  /** Greater than zero. */
  readonly under: bigint;
}

export const fraction = (top: bigint | number, under: bigint | number = 1): Fraction => {
  const [t, u] = [BigInt(top), BigInt(under)];
  if (u === 0n) throw new RangeError("a fraction over nought");
  const common = gcd(t < 0n ? -t : t, u < 0n ? -u : u) || 1n;
  const sign = u < 0n ? -1n : 1n;
  return { top: (sign * t) / common, under: (sign * u) / common };
};

export const plus = (a: Fraction, b: Fraction): Fraction =>
  fraction(a.top * b.under + b.top * a.under, a.under * b.under);

export const times = (a: Fraction, b: Fraction): Fraction =>
  fraction(a.top * b.top, a.under * b.under);

export const over = (a: Fraction, b: Fraction): Fraction =>
  fraction(a.top * b.under, a.under * b.top);

/** The fraction that a finite number is, exactly. */
export const exact = (value: number): Fraction => {
  // Doubled, neither of these ever becomes whole.
  if (!Number.isFinite(value)) throw new RangeError("no finite number");
  let power = 0;
  while (!Number.isInteger(value)) {
    value *= 2;
    power += 1;
  }
  return fraction(BigInt(value), 1n << BigInt(power));
};

/** The nearest number; ties to even, as in every language that follows IEEE 754. */
export const toNumber = ({ top, under }: Fraction): number => {
  const size = top < 0n ? -top : top;
  // A quotient of more than 64 bits with a sticky last bit is rounded once, by Number().
  const shift = BigInt(Math.max(0, 70 + bits(under) - bits(size)));
  const scaled = size << shift;
  const quotient = ((scaled / under) << 1n) | (scaled % under ? 1n : 0n);
  const value = Number(quotient) / 2 ** (Number(shift) + 1);
  return top < 0n ? -value : value;
};

/** The nearest whole number; halves to even. */
export const rounded = ({ top, under }: Fraction): bigint => {
  const down = top >= 0n ? top / under : -((-top + under - 1n) / under);
  const twice = 2n * (top - down * under);
  if (twice < under) return down;
  if (twice > under) return down + 1n;
  return down % 2n === 0n ? down : down + 1n;
};

const bits = (value: bigint): number => value.toString(2).length;

const gcd = (a: bigint, b: bigint): bigint => {
  while (b) [a, b] = [b, a % b];
  return a;
};
