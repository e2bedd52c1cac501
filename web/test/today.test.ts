import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { dayAfter, dayOf, followDays, untilMidnight } from "../src/screens/today.svelte";

beforeEach(() => vi.useFakeTimers({ now: new Date(2025, 2, 14, 23, 50) }));
afterEach(() => vi.useRealTimers());

class Page extends EventTarget {
  hidden = false;
  see(hidden: boolean): void {
    this.hidden = hidden;
    this.dispatchEvent(new Event("visibilitychange"));
  }
}

test("the day turns at midnight, every midnight, until it is no longer followed", () => {
  const days: string[] = [];
  const end = followDays(() => days.push(dayOf(new Date())), new Page());
  vi.advanceTimersByTime(9 * 60_000);
  expect(days).toEqual(["2025-03-14"]);
  vi.advanceTimersByTime(60_000);
  expect(days).toEqual(["2025-03-14", "2025-03-15"]);
  vi.advanceTimersByTime(24 * 3_600_000);
  expect(days.at(-1)).toBe("2025-03-16");
  end();
  vi.advanceTimersByTime(48 * 3_600_000);
  expect(days.at(-1)).toBe("2025-03-16");
});

test("a page whose timers stood still says the day when it is looked at again", () => {
  const days: string[] = [];
  const page = new Page();
  const end = followDays(() => days.push(dayOf(new Date())), page);
  vi.setSystemTime(new Date(2025, 2, 17, 7, 0)); // no timer ran meanwhile
  page.see(true);
  expect(days).toEqual(["2025-03-14"]);
  page.see(false);
  expect(days).toEqual(["2025-03-14", "2025-03-17"]);
  end();
  page.see(false);
  expect(days).toHaveLength(2);
});

test("days are counted by the calendar, also where the clock is changed", () => {
  // Europe/London and America/New_York change their clocks within these weeks; elsewhere it is plain.
  for (const [month, first] of [[9, 20], [10, 1], [2, 8], [2, 25]] as const) {
    const from = new Date(2025, month, first, 0, 30);
    const days = Array.from({ length: 14 }, (_, n) => dayAfter(from, n));
    expect(days[0]).toBe(dayOf(from));
    expect(new Set(days).size).toBe(14);
    expect(days.map((one) => Date.parse(one)).every((at, n, all) => n === 0 || at - all[n - 1]! === 86_400_000)).toBe(true);
  }
  expect(untilMidnight(new Date(2025, 2, 14, 23, 59, 30))).toBe(30_000);
});
