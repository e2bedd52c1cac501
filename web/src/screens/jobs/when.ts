/** Days and times as the reader's country writes them. */
import { desk } from "../desk.svelte";

const locale = (): string => (navigator.language.startsWith(desk.language) ? navigator.language : desk.language);
/** A date stands for its day, wherever the reader is. */
const dateOf = (at: string): Date => new Date(at.length > 10 ? at : `${at}T12:00`);

export const day = (at: string, more: Intl.DateTimeFormatOptions = {}): string =>
  dateOf(at).toLocaleDateString(locale(), { day: "numeric", month: "short", ...more });
export const moment = (at: string): string =>
  dateOf(at).toLocaleString(locale(), { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit", hour12: false });
/** A day of any year; as it was written where it is none. */
export const year = (at: string): string =>
  /^\d{4}-\d{2}-\d{2}/.test(at) ? day(at.slice(0, 10), { year: "numeric" }) : at;
