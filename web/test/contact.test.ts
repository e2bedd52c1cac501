import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { Application, ContactMoment, ProductLabel } from "../src/made/job";
import { judged, minutes } from "../src/record/contact";
import { compared, JUMP, wentBack } from "../src/record/steady";

type Kinds = Record<string, { kind: string; label?: string; application?: string }>;
const { entities, told } = JSON.parse(
  readFileSync(new URL("../../tests/shared/contact.json", import.meta.url), "utf8"),
) as { entities: Kinds; told: [string, string, string, number | null, number][] };

test("an application is judged as the office judges it", () => {
  for (const [now, id, standing, needed, wet] of told) {
    const one = entities[id] as unknown as Application;
    const later = Object.values(entities).filter((each) => each.application === id) as unknown as ContactMoment[];
    const found = judged(one, entities[one.label] as unknown as ProductLabel, later, Date.parse(now));
    expect([now, id, found.standing, found.needed]).toEqual([now, id, standing, needed]);
    expect(found.wet).toBeCloseTo(wet, 6);
  }
});

test("wet again after dry begins anew, and the running time is told from there", () => {
  const [one, label] = [entities["a06"] as unknown as Application, entities["good"] as unknown as ProductLabel];
  const later = Object.values(entities).filter((each) => each.application === "a06") as unknown as ContactMoment[];
  expect(judged(one, label, later, Date.parse("2026-05-20T11:08:00Z")).since).toBe(Date.parse("2026-05-20T11:05:00Z"));
});

test("a contact time has its unit", () => {
  expect([minutes("10 min"), minutes("1/2 h"), minutes("1 1/2 hours"), minutes("30 s"), minutes("10"), minutes("")])
    .toEqual([10, 30, 90, 0.5, null, null]);
});

test("a clock that was set is told from one that only went on", () => {
  const at = (wall: number, steady: number) => ({ wall, steady });
  expect(compared(at(0, 0), at(600_000, 600_100), true)).toBeNull();
  expect(compared(at(0, 0), at(3_601_000, 1_000), true)).toEqual({ what: "jump", by: 3_600_000 });
  expect(compared(at(0, 0), at(-3_599_000, 1_000), false)).toEqual({ what: "jump", by: -3_600_000 });
  expect(compared(at(0, 0), at(900_000, 1_000), false)).toEqual({ what: "slept", by: 899_000 });
  expect(wentBack(1_000_000, 1_000_000 - JUMP - 1)).toBe(-JUMP - 1);
  expect(wentBack(1_000_000, 2_000_000)).toBe(0);
});
