/** What waits for which stop, by the numbers of the list. */
import { expect, test } from "vitest";
import { openOf, stopsFor, waitingFor } from "../src/record/stops";

const hold = (key: string, standing = "stop") => ({ key, standing });
const WET = hold("circuits/wetting");
const HOLDS = [WET, hold("combustion/house", "find out"), hold("outlet/house", "care"), hold("garage/house")];

test("the first stands before the office has said anything, and a caution holds nothing", () => {
  expect(stopsFor(WET, [], new Map()).map((one) => one.hold.key)).toEqual(["circuits/wetting"]);
  expect(stopsFor(WET, HOLDS, new Map()).map((one) => one.hold.key)).toEqual(["circuits/wetting", "combustion/house", "garage/house"]);
});

test("a thing waits for each of its stops until that one is signed; the others keep their numbers", () => {
  const keys = ["combustion/house", "garage/house"];
  const numbers = (released: Map<string, string>): number[] => waitingFor(stopsFor(WET, HOLDS, released), keys).map((one) => one.n);
  expect(numbers(new Map())).toEqual([2, 3]);
  expect(numbers(new Map([["combustion/house", "A. Tester: off"]]))).toEqual([3]);
  expect(numbers(new Map(keys.map((key) => [key, "A. Tester: off"])))).toEqual([]);
  expect(openOf(stopsFor(WET, HOLDS, new Map([["combustion/house", "A. Tester: off"]]))).length).toBe(2);
});
