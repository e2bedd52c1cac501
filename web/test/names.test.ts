/** Figures by hand: a room of 160 by 120 pixels. */
import { expect, test } from "vitest";
import { namedAt } from "../src/screens/plan/names";

const room = [100, 100, 260, 220] as const;
const middle = [180, 160] as const;

test("a name stands in the middle, else as near to it as nothing hides it, else in two lines", () => {
  expect(namedAt("Kitchen", room, middle, [])).toEqual({ lines: ["Kitchen"], x: 180, y: 160 });
  const sign = [167, 147, 193, 173] as const;
  const beside = namedAt("Kitchen", room, middle, [sign]);
  expect(beside.lines).toEqual(["Kitchen"]);
  // Its letters, half of seven times 9.8 wide and 12 high, are clear of the sign.
  expect(Math.abs(beside.y - 160) > 25 || Math.abs(beside.x - 180) > 47).toBe(true);
  // Too long for one line beside what hides it: in two.
  expect(namedAt("Front bedroom", [100, 100, 190, 220], [145, 160], []).lines).toEqual(["Front", "bedroom"]);
  // Hidden wherever it stands: in the middle after all.
  expect(namedAt("Kitchen", room, middle, [[0, 0, 400, 400]])).toEqual({ lines: ["Kitchen"], x: 180, y: 160 });
  expect(namedAt("Bathroom", [100, 100, 160, 140], [130, 120], []).lines).toEqual(["Bath…"]);
  // A bath along the right: what fits beside it is cut short rather than hidden in part.
  expect(namedAt("Bathroom", [100, 100, 190, 140], [145, 120], [[160, 100, 190, 140]]).lines).toEqual(["Bath…"]);
});
