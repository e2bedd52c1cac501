/** The words of the screens, in the chosen language and as the building's country says them. */
import type { Entities } from "../drawing/scene";
import personal from "../made/personal.json";
import { Phrasebook } from "./words/phrasebook";
import { LANGUAGES, type Key, type Language, type Spoken } from "./words/words";

/** Whose job is spoken of: its country's trades have words of their own, its names stay as they were typed. */
interface Subject {
  readonly country: "UK" | "US";
  readonly entities: Entities;
}

export class Speech {
  language = $state<Language>("en");
  private spoken = $state.raw<Spoken | null>(null);
  private book = $derived(this.spoken?.phrases ? new Phrasebook(this.spoken.phrases) : null);
  private names = $derived.by(() => Object.values(this.of.entities).flatMap((one) => ("name" in one && typeof one.name === "string" ? [one.name] : [])));

  constructor(private readonly of: Subject) {}

  /** Speaks a language from now on. */
  speak = async (language: Language): Promise<void> => {
    this.spoken = await LANGUAGES[language]();
    this.language = language;
  };

  /** A text in the chosen language and the words of the building's country, with what stands in braces filled in. */
  t = (key: Key, values: Record<string, string | number> = {}): string =>
    (this.spoken?.countries?.[this.of.country].words[key] ?? this.spoken?.words[key] ?? "").replace(/\{(\w+)\}/g, (_, name: string) => this.typed(String(values[name] ?? "")));

  /** The screen's word for a kind, an amount or a fixture. */
  word = (name: string): string =>
    this.spoken?.countries?.[this.of.country].kinds[name] ?? this.spoken?.kinds[name] ?? this.typed(name);

  /** What the office says, in the chosen language as far as it is understood; a name stays as it was typed. */
  tell = (text: string): string => {
    this.book?.know(this.names);
    return this.book?.tell(text).text ?? text;
  };

  /** What somebody typed, as it is; what was erased of it, in the chosen language. */
  typed = (text: string): string => (text.includes(personal.erased) ? text.replaceAll(personal.erased, this.tell(personal.erased)) : text);
}
