import { expect, test } from "vitest";
import { cornersOf, liesOf, paperUnder, pixelAt } from "../src/drawing/paper";
import { through, type Plane } from "../src/geometry/perspective";
import type { PaperPlan } from "../src/made/job";

test("four corners say all of how a picture lies: a straightened one comes back to a tenth of a millimetre", () => {
  const size: [number, number] = [4000, 3000];
  const lies: Plane = [0.0021, 0.0001, -2, -0.00005, -0.0019, 5, 1e-5, -2e-5, 1];
  const plan: PaperPlan = { kind: "paper_plan", storey: "g", image: "ab".repeat(32), size, corners: cornersOf(lies, size) };
  for (const at of [[0, 0], [4000, 3000], [1234, 987]] as const) {
    const [x, y] = through(lies, at);
    const [u, v] = through(liesOf(plan)!, at);
    expect(Math.hypot(u - x, v - y)).toBeLessThan(2e-4);
    const [p, q] = pixelAt(plan, [x, y])!;
    expect(Math.hypot(p - at[0], q - at[1])).toBeLessThan(0.3);
  }
  expect(liesOf({ ...plan, corners: plan.corners.slice(1) })).toBeNull();
  expect(liesOf({ ...plan, corners: [[0, 0], [1, 0], [2, 0], [3, 0]] })).toBeNull();
  expect(paperUnder({ a: plan, b: { ...plan, storey: "h" } }, "g")).toEqual(["a", plan]);
});
