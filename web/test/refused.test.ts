/** What the office refuses is told in the words of the screen, and each such code is one of the office's. */
import { expect, test, vi } from "vitest";

vi.mock("../src/screens/desk.svelte", () => ({ desk: { t: (key: string) => `word ${key}`, tell: (text: string) => `told ${text}` } }));

test("a refused password is told in the language that is read, all else by the phrasebook", async () => {
  const { OfficeError } = await import("../src/screens/asked");
  const { whyOf } = await import("../src/screens/refused");
  expect(whyOf(new OfficeError(422, "common-password", "English"))).toBe("word passwordCommon");
  expect(whyOf(new OfficeError(422, "wrong-password", "English"))).toBe("word passwordWrong");
  expect(whyOf(new OfficeError(409, "record-refused", "an account has that name already"))).toBe("told an account has that name already");
  expect(whyOf(new OfficeError(0, "not-reached", "gone"))).toBe("word notReached");
  expect(whyOf(new Error("odd"))).toBe("odd");
});
