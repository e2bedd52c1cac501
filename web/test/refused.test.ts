/** What is refused or fails is told in the words of the screen, or by the phrasebook, and never as nothing. */
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test, vi } from "vitest";
import phrases from "../src/made/phrases.es.json";
import { BlobError } from "../src/record/blobs";
import { OfficeError } from "../src/screens/asked";
import { whyOf } from "../src/screens/refused";

vi.mock("../src/screens/desk.svelte", async () => {
  const { Phrasebook } = await import("../src/screens/words/phrasebook");
  const book = new Phrasebook(phrases);
  return { desk: { t: (key: string, { n = "" } = {}) => `word ${key}${n}`, tell: (text: string) => book.tell(text).text } };
});

test("a refused password is told in words of ours, what else the office refuses by the phrasebook", () => {
  expect(whyOf(new OfficeError(422, "common-password", "English"))).toBe("word passwordCommon");
  expect(whyOf(new OfficeError(422, "wrong-password", "English"))).toBe("word passwordWrong");
  expect(whyOf(new OfficeError(403, "not-allowed", "this account may not do that; ask the office"))).toBe("esta cuenta no puede hacer eso; pregunte a la oficina");
  expect(whyOf(new OfficeError(0, "not-reached", "Failed to fetch"))).toBe("word notReached");
  expect(whyOf(new BlobError("damaged"))).toBe("word bytes_damaged");
});

test("a reason that nobody has words for is told as it came", () => {
  expect(whyOf(new OfficeError(418, "", "the machine is a teapot; ask the office"))).toBe("the machine is a teapot; pregunte a la oficina");
  expect(whyOf(new OfficeError(502, "", "502"))).toBe("word noReason502");
  expect(whyOf(new Error("odd"))).toBe("odd");
  expect(whyOf(new TypeError())).toBe("TypeError");
  expect(whyOf("thrown as text")).toBe("thrown as text");
});

test("no screen shows what an error says by itself", () => {
  const source = fileURLToPath(new URL("../src/screens/", import.meta.url));
  const files = readdirSync(source, { recursive: true, encoding: "utf8" }).filter((name) => /\.(?:ts|svelte)$/.test(name));
  expect(files.length).toBeGreaterThan(150);
  const bare = files.filter((name) => /error(?: as Error\))?\.message|String\(error\)/.test(readFileSync(source + name, "utf8")));
  expect(bare).toEqual(["asked.ts"]);
});
