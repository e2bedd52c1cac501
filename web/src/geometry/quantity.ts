/**
 * What people type becomes metres once; metres become what people read.
 *
 *   length(`3'-4 1/2"`)            // 1.0287
 *   showLength(3.2131, "ft-in")    // 10'-6 1/2"
 *
 * The same rules as the program's own; both are held to the cases in tests/shared/quantity.json.
 */
import { exact, fraction, over, plus, rounded, times, toNumber, type Fraction } from "./fraction";

export type Units = "ft-in" | "m";
/** A length as typed: text with a unit, or a number. [m] */
export type Typed = string | number;

/** No length in a building is greater. [m] */
export const LONGEST = 1000;

const INCH = fraction(254, 10_000);
const FOOT = times(fraction(12), INCH);
const LENGTHS: Record<string, Fraction> = {
  m: fraction(1), metre: fraction(1), meter: fraction(1),
  cm: fraction(1, 100), mm: fraction(1, 1000),
  in: INCH, inch: INCH, inches: INCH, '"': INCH,
  ft: FOOT, foot: FOOT, feet: FOOT, "'": FOOT,
  yd: times(fraction(3), FOOT),
};

const SIGNS: Record<string, string> = {
  "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
  "⅓": "1/3", "⅔": "2/3",
};
const ALIKE: [RegExp, string][] = [
  [/[′’‘ʹ´`]/g, "'"],
  [/[″”“ʺ]/g, '"'],
  [/[⁄∕]/g, "/"],
  [/[−–—‐‑]/g, "-"],
  [/²/g, "2"],
  [/³/g, "3"],
];

const NUMBER = String.raw`(?:\d+[ -]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d+|\.\d+|\d+\.?)`;
const ONE = new RegExp(String.raw`^\s*(-?)\s*(${NUMBER})\s*([A-Za-z"'°][A-Za-z0-9 .]*?)\.?\s*$`);
const FEET_INCHES = new RegExp(
  String.raw`^\s*(-?)\s*(\d+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*(${NUMBER})\s*(?:"|in\.?|inch|inches)?\s*$`,
  "i",
);

export type Refused = "no unit" | "comma" | "unknown unit" | "no length" | "too long" | "below zero";

/** What was typed is no length; `why` says which of a few reasons. */
export class QuantityError extends Error {
  constructor(readonly why: Refused) {
    super(why);
  }
}

/** A length as typed, in metres. */
export const length = (typed: Typed, signed = true): number => {
  const metres = typeof typed === "number" ? typed : ofText(typed);
  if (!Number.isFinite(metres)) throw new QuantityError("no length");
  if (Math.abs(metres) > LONGEST) throw new QuantityError("too long");
  if (metres < 0 && !signed) throw new QuantityError("below zero");
  return metres;
};

/** A length that may be left out or be none: null then. [m] */
export const lengthOr = <T>(typed: Typed, otherwise: T): number | T => {
  try {
    return length(typed);
  } catch {
    return otherwise;
  }
};

const ofText = (typed: string): number => {
  const text = plain(typed);
  const both = FEET_INCHES.exec(text);
  if (both) {
    const value = plus(times(fraction(BigInt(both[2]!)), FOOT), times(number(both[3]!), INCH));
    return toNumber(both[1] ? times(fraction(-1), value) : value);
  }
  if (text.includes(",")) throw new QuantityError("comma");
  if (new RegExp(`^\\s*-?\\s*${NUMBER}\\s*$`).test(text)) throw new QuantityError("no unit");
  const one = ONE.exec(text);
  if (!one) throw new QuantityError("no length");
  const factor = factorOf(one[3]!);
  if (!factor) throw new QuantityError("unknown unit");
  const value = times(number(one[2]!), factor);
  return toNumber(one[1] ? times(fraction(-1), value) : value);
};

const plain = (typed: string): string => {
  let text = typed;
  for (const [sign, written] of Object.entries(SIGNS)) text = text.replaceAll(sign, ` ${written}`);
  for (const [signs, one] of ALIKE) text = text.replace(signs, one);
  return text.replaceAll("''", '"').split(/\s+/).filter(Boolean).join(" ");
};

const factorOf = (unit: string): Fraction | undefined => {
  const name = unit.toLowerCase().replaceAll(".", " ").split(/\s+/).filter(Boolean).join(" ");
  if (Object.hasOwn(LENGTHS, name)) return LENGTHS[name];
  const one = name.slice(0, -1);
  return name.endsWith("s") && name.length > 2 && Object.hasOwn(LENGTHS, one)
    ? LENGTHS[one]
    : undefined;
};

const number = (text: string): Fraction => {
  try {
    return text
      .replace(/\s*\/\s*/g, "/")
      .split(/[ -]+/)
      .map(part)
      .reduce(plus);
  } catch {
    throw new QuantityError("no length");
  }
};

const part = (text: string): Fraction => {
  const [top, under] = text.split("/");
  if (under !== undefined) return fraction(BigInt(top!), BigInt(under));
  const [whole, decimals = ""] = text.split(".");
  return fraction(BigInt(`${whole}${decimals}`), 10n ** BigInt(decimals.length));
};

/** A length as people read it: `10'-6 1/2"`, `3.21 m` or `38 mm`. */
export const showLength = (metres: number, units: Units, finest = 16): string => {
  const sign = metres < 0 ? "-" : "";
  const size = Math.abs(metres);
  if (units === "m") {
    const millimetres = rounded(exact(size * 1000));
    if (!millimetres) return "0 mm";
    if (millimetres < 1000n) return `${sign}${millimetres} mm`;
    const hundredths = rounded(times(exact(size), fraction(100)));
    const rest = (hundredths % 100n).toString().padStart(2, "0");
    return `${sign}${hundredths / 100n}.${rest} m`;
  }
  const parts = rounded(times(over(exact(size), INCH), fraction(finest)));
  const feet = parts / BigInt(12 * finest);
  const rest = parts % BigInt(12 * finest);
  const whole = rest / BigInt(finest);
  const left = fraction(rest % BigInt(finest), finest);
  const shown = left.top ? `${left.top}/${left.under}` : "";
  const inches = whole && shown ? `${whole} ${shown}` : shown || `${whole}`;
  const text = feet ? `${feet}'-${inches}"` : `${inches}"`;
  return parts ? `${sign}${text}` : text;
};

/** Metres as text that reads back to the same tenth of a millimetre; no float enters the record. */
export const asTyped = (metres: number): string => {
  const text = (Math.round(metres * 1e7) / 1e4).toFixed(4).replace(/\.?0+$/, "");
  return `${text === "-0" ? "0" : text} mm`;
};
