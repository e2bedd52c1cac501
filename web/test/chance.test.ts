/** Figures by hand. */
import { expect, test } from "vitest";
import { adviceOf, wholly, withError } from "../src/screens/find/chance";

test("a figure stands to the first place of its error, and both to the same", () => {
  expect(withError(16.04, 0.37)).toEqual(["16.0", "0.4"]);
  expect(withError(163, 37)).toEqual(["160", "40"]);
  expect(withError(2.345, 0.052)).toEqual(["2.35", "0.05"]);
  expect(withError(16, 0)).toEqual(["16", "0"]);
  // No more than two places behind the point, and an error is never told as none.
  expect(withError(1.2345, 0.0004)).toEqual(["1.23", "0.01"]);
  expect(withError(7, 2.6)).toEqual(["7", "3"]);
});

test("leave tells where nobody looked, as long as the office's figures are of the whole log", () => {
  expect(adviceOf({ band: "leave", looked: 0 }, false)).toBe("leaveUnseen");
  expect(adviceOf({ band: "leave", looked: 0 }, true)).toBe("band_leave");
  expect(adviceOf({ band: "leave", looked: 0.4 }, false)).toBe("band_leave");
  expect(adviceOf({ band: "leave" }, false)).toBe("band_leave");
  expect(adviceOf({ band: "open", looked: 0 }, false)).toBe("band_open");
});

test("nine tenths are looked at in part, as the office's own words have it", () => {
  expect([0.9, 0.91].map(wholly)).toEqual([false, true]);
});
