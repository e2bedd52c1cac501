/**
 * Which day it is, for what is shown: a page that was left open overnight says the new day by itself,
 * at midnight, and at the latest when somebody looks at it again (a phone in a pocket stops its timers).
 */
import { timeOf } from "../record/store";

/** The local day of a moment, `2025-03-14`. */
export const dayOf = (at: Date): string => timeOf(at).slice(0, 10);

/** The day so many days later, by the calendar: a day on which the clock is changed has 23 or 25 hours. */
export const dayAfter = (from: Date, days: number): string =>
  dayOf(new Date(from.getFullYear(), from.getMonth(), from.getDate() + days, 12));

/** How long until the next day begins. [ms] */
export const untilMidnight = (now: Date): number =>
  new Date(now.getFullYear(), now.getMonth(), now.getDate() + 1).getTime() - now.getTime();

/** Calls `turned` at every midnight and whenever the page is looked at again; gives what ends it. */
export const followDays = (turned: () => void, page: EventTarget & { readonly hidden: boolean }): (() => void) => {
  let timer: ReturnType<typeof setTimeout>;
  const again = (): void => {
    clearTimeout(timer);
    turned();
    timer = setTimeout(again, untilMidnight(new Date()));
  };
  const seen = (): void => {
    if (!page.hidden) again();
  };
  page.addEventListener("visibilitychange", seen);
  again();
  return () => {
    clearTimeout(timer);
    page.removeEventListener("visibilitychange", seen);
  };
};

class Today {
  day = $state(dayOf(new Date()));
  /** The day so many days from today; read while something is shown, it follows the clock. */
  after = (days: number): string => dayAfter(new Date(`${this.day}T12:00`), days);
  follow = (): (() => void) => followDays(() => (this.day = dayOf(new Date())), document);
}
export const today = new Today();
