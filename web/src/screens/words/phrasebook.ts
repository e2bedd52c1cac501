/**
 * The office's sentences in another language: the same reader as wainscot.languages, with the same
 * phrases.  A part that is not understood whole stays English, so that nothing is half and half.
 */
const LONGEST = 400;
const MOST_PARTS = 500;
/** What a place of this name may hold; one of any other name may hold any text. */
const PLACES: Readonly<Record<string, string>> = {
  n: String.raw`[\d.,<>]+`,
  label: String.raw`[A-Z]{1,3}\d+`,
  side: "north|east|south|west",
  labels: String.raw`[A-Z]{1,3}\d+(?:(?:, | and | to )[A-Z]{1,3}\d+)*`,
};
/** A place that is never translated: title of a book, a code, a page. */
const SOURCE = "source";
type Breaks = readonly (readonly [RegExp, string])[];
const BEFORE: Breaks = [[/(?<=[.!?]) (?=[^a-z])/, " "], [/; (?![^(]*\))/, "; "]];
const AFTER: Breaks = [[/ > /, " > "], [/: /, ": "]];
const SEALED = /[\ue000-\uf8ff]/g;
const MOST_SEALED = 0x1800;
const PLAIN = /^(?:[A-Z]{1,3}\d+|[\d.,/'" ]+ ?(?:m2?|mm|cm|h|kg|l|ft2?|in|%|°C|°F)|[\d.,]+ [A-Z]{3})$/;
const PLACE = /\{(\w+)\}/g;

export interface Told {
  readonly text: string;
  /** Whether all of it was understood. */
  readonly whole: boolean;
}
interface Phrase {
  readonly said: string;
  readonly start: string;
  readonly swapped: string;
  readonly end: string;
  readonly literal: number;
  readonly names: readonly string[];
  readonly pattern: RegExp;
}

export class Phrasebook {
  private readonly words = new Map<string, string>();
  private readonly phrases: readonly Phrase[];
  private readonly kept = new Map<string, Told>();
  private names: readonly string[] = [];

  constructor(phrases: Readonly<Record<string, string>>, private readonly joins: readonly [string, string] = [" and ", " y "]) {
    const places: Phrase[] = [];
    for (const [english, said] of Object.entries(phrases)) {
      if (english.includes("{")) places.push(phraseOf(english, said));
      else this.words.set(english, said);
    }
    this.phrases = places.sort((a, b) => b.literal - a.literal);
  }

  /** What people typed, and what stays as it is unless it is a word of the phrasebook. */
  know(names: readonly string[]): void {
    if (names.length === this.names.length && names.every((one, n) => one === this.names[n])) return;
    this.names = names;
    this.kept.clear();
  }

  tell(text: string): Told {
    let told = this.kept.get(text);
    if (!told) this.kept.set(text, (told = this.fresh(text)));
    return told;
  }

  private fresh(text: string): Told {
    if (text.search(SEALED) >= 0) return this.say(text, new Map());
    const spellings = new Set(this.names.filter((one) => one.trim()).flatMap((one) => [one, one.toLowerCase()]));
    const [sealed, kept] = seal(text, [...spellings].filter((one) => !this.words.has(one)));
    const told = this.say(sealed, new Map());
    return { text: told.text.replace(SEALED, (one) => kept[one.charCodeAt(0) - 0xe000] ?? one), whole: told.whole };
  }

  private say(text: string, known: Map<string, Told>): Told {
    if (known.size > MOST_PARTS) return { text, whole: false };
    let told = known.get(text);
    if (!told) {
      told = this.apart(text, BEFORE, known) ?? this.whole(text, known) ?? this.apart(text, AFTER, known) ?? { text, whole: false };
      known.set(text, told);
    }
    return told;
  }

  private apart(text: string, breaks: Breaks, known: Map<string, Told>): Told | null {
    for (const [where, joint] of breaks) {
      const at = breaks === AFTER ? text.search(where) : 0;
      const parts = at > 0 ? [text.slice(0, at), text.slice(at + joint.length)] : breaks === AFTER ? [text] : text.split(where);
      if (parts.length > 1 && !this.words.has(text)) {
        const said = parts.map((part) => this.say(part, known));
        return { text: said.map((one) => one.text).join(joint), whole: said.every((one) => one.whole) };
      }
    }
    return null;
  }

  private whole(text: string, known: Map<string, Told>): Told | null {
    const said = this.word(text) ?? this.phrase(text, known) ?? this.list(text, known);
    return said === null ? null : { text: said, whole: true };
  }

  private word(text: string): string | null {
    const said = this.words.get(text);
    if (said !== undefined) return said;
    const other = this.words.get(swapped(text));
    if (other !== undefined) return like(text, other);
    return PLAIN.test(text) || !/\p{L}/u.test(text) ? text : null;
  }

  private phrase(text: string, known: Map<string, Told>): string | null {
    if (text.length > LONGEST) return null;
    for (const one of this.phrases) {
      const found = placesOf(one, text);
      if (!found) continue;
      const said = new Map(one.names.map((name) => [name, name === SOURCE ? { text: found[name]!, whole: true } : this.say(found[name]!, known)]));
      if ([...said.values()].every((each) => each.whole)) return like(text, one.said.replace(PLACE, (_, name: string) => said.get(name)!.text));
    }
    return null;
  }

  private list(text: string, known: Map<string, Told>): string | null {
    const first = text.split(", ");
    const last = first.pop()!;
    for (const tail of [[last], last.split(this.joins[0])]) {
      const parts = [...first, ...tail];
      const said = parts.length > 1 ? parts.map((one) => this.say(one, known)) : [];
      if (said.length && said.every((one) => one.whole)) {
        const words = said.map((one) => one.text);
        const end = words.pop()!;
        return words.join(", ") + (tail.length > 1 ? this.joins[1] : ", ") + end;
      }
    }
    return null;
  }
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");

const phraseOf = (english: string, said: string): Phrase => {
  const pieces = english.split(PLACE);
  const literal = pieces.filter((_, n) => n % 2 === 0);
  const names = pieces.filter((_, n) => n % 2 === 1);
  const pattern = pieces.map((piece, n) => (n % 2 === 0 ? escaped(piece) : `(?<${piece}>${PLACES[piece] ?? ".+?"})`)).join("");
  return {
    said, names, start: pieces[0]!, swapped: swapped(pieces[0]!), end: pieces.at(-1)!,
    literal: literal.reduce((sum, one) => sum + one.length, 0), pattern: new RegExp(`^${pattern}$`),
  };
};

/** What stands in each place; null where the text is not made from this phrase. */
const placesOf = (phrase: Phrase, text: string): Record<string, string> | null => {
  if (!text.endsWith(phrase.end)) return null;
  if (phrase.start && !text.startsWith(phrase.start)) {
    if (!text.startsWith(phrase.swapped)) return null;
    text = swapped(text);
  }
  return phrase.pattern.exec(text)?.groups ?? null;
};

const flipped = (one: string): string => (one === one.toUpperCase() ? one.toLowerCase() : one.toUpperCase());
/** A text whose first letter is small where it was great, and the other way round. */
const swapped = (text: string): string => flipped(text.slice(0, 1)) + text.slice(1);
/** What is said, beginning with a great or a small letter as the text does. */
const like = (text: string, said: string): string => {
  if (/^\p{Lu}/u.test(text)) return said.slice(0, 1).toUpperCase() + said.slice(1);
  return /^\p{Ll}/u.test(text) ? said.slice(0, 1).toLowerCase() + said.slice(1) : said;
};

/** One private character in place of every name, the longest first. */
const seal = (text: string, names: readonly string[]): readonly [string, readonly string[]] => {
  const kept: string[] = [];
  for (const name of [...names].sort((a, b) => b.length - a.length || (a < b ? -1 : 1))) {
    if (!text.includes(name) || kept.length >= MOST_SEALED) continue;
    const sealed = text.replace(new RegExp(`(?<![\\p{L}\\p{N}_])${escaped(name)}(?![\\p{L}\\p{N}_])`, "gu"), String.fromCharCode(0xe000 + kept.length));
    if (sealed !== text) kept.push(name);
    text = sealed;
  }
  return [text, kept];
};
