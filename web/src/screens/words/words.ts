/**
 * Every word on the screen, a folder a language; only the one that is read is loaded.  A language
 * that lacks a word does not compile.
 */
import type { words as english } from "./en";

export type Key = keyof typeof english;
export type Words = Readonly<Record<Key, string>>;
/** What one country says otherwise. */
export interface Overlay {
  readonly words: Readonly<Partial<Words>>;
  readonly kinds: Readonly<Record<string, string>>;
}
export interface Spoken {
  readonly words: Words;
  readonly kinds: Readonly<Record<string, string>>;
  /** What the office says in English, by sentence; none where English is spoken. */
  readonly phrases?: Readonly<Record<string, string>>;
  readonly countries?: Readonly<Record<"US" | "UK", Overlay>>;
}
export const LANGUAGES = {
  en: (): Promise<Spoken> => import("./en"),
  es: (): Promise<Spoken> => import("./es"),
} as const;
export type Language = keyof typeof LANGUAGES;
