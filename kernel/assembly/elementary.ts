/**
 * exp and log in plain IEEE arithmetic, so that every engine gives the same last bit.
 *
 * Argument reduction by ln 2 in two parts and a Taylor polynomial long enough for double
 * precision (the textbook scheme; see Muller, "Elementary Functions", cited from memory).
 */
const LN2_HIGH: f64 = 6.93147180369123816490e-01; // trailing bits zero: a product with k is exact
const LN2_LOW: f64 = 1.90821492927058770002e-10;
const INVERSE_LN2: f64 = 1.44269504088896338700;
const SQRT2: f64 = 1.41421356237309514547;
const TWO_54: f64 = 18014398509481984.0;

/** The smallest likelihood the kernel tells from zero; its logarithm is about -690.8. */
export const TINY: f64 = 1e-300;

/** e to the x: zero below -708, infinite above 709. */
export function exp(x: f64): f64 {
  if (x != x) return x;
  if (x > 709.0) return Infinity;
  if (x < -708.0) return 0.0;
  const k = Math.floor(x * INVERSE_LN2 + 0.5);
  const r = x - k * LN2_HIGH - k * LN2_LOW;
  let q: f64 = 1.0 / 6227020800.0;
  q = q * r + 1.0 / 479001600.0;
  q = q * r + 1.0 / 39916800.0;
  q = q * r + 1.0 / 3628800.0;
  q = q * r + 1.0 / 362880.0;
  q = q * r + 1.0 / 40320.0;
  q = q * r + 1.0 / 5040.0;
  q = q * r + 1.0 / 720.0;
  q = q * r + 1.0 / 120.0;
  q = q * r + 1.0 / 24.0;
  q = q * r + 1.0 / 6.0;
  q = q * r + 0.5;
  const value = 1.0 + (r + r * r * q);
  return value * reinterpret<f64>((<i64>k + 1023) << 52);
}

/** Natural logarithm: minus infinity for zero and below. */
export function log(x: f64): f64 {
  if (x != x) return x;
  if (x <= 0.0) return -Infinity;
  if (x == Infinity) return Infinity;
  let exponent: f64 = 0.0;
  if (x < 2.2250738585072014e-308) {
    x = x * TWO_54;
    exponent = -54.0;
  }
  const bits = reinterpret<u64>(x);
  exponent = exponent + <f64>(<i64>(bits >> 52) - 1023);
  let m = reinterpret<f64>((bits & 0x000fffffffffffff) | 0x3ff0000000000000);
  if (m > SQRT2) {
    m = m * 0.5;
    exponent = exponent + 1.0;
  }
  const f = m - 1.0;
  const s = f / (2.0 + f);
  const z = s * s;
  let r: f64 = 2.0 / 23.0;
  r = r * z + 2.0 / 21.0;
  r = r * z + 2.0 / 19.0;
  r = r * z + 2.0 / 17.0;
  r = r * z + 2.0 / 15.0;
  r = r * z + 2.0 / 13.0;
  r = r * z + 2.0 / 11.0;
  r = r * z + 2.0 / 9.0;
  r = r * z + 2.0 / 7.0;
  r = r * z + 2.0 / 5.0;
  r = r * z + 2.0 / 3.0;
  r = r * z;
  return exponent * LN2_HIGH - (s * (f - r) - exponent * LN2_LOW - f);
}

/** Logarithm of a likelihood; zero counts as TINY so that sums stay finite. */
export function logLikelihoodOf(x: f64): f64 {
  return log(x > TINY ? x : TINY);
}
