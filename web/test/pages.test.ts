import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { keepPages, letPagesGo, pagesHere, pagesOf } from "../src/record/pages";
import { open } from "../src/record/store";

test("pages stay while some job lists their paper as its newest of a kind and language", async () => {
  const db = await open("pages");
  const made = (kind: string, digest: string, language = "en") => ({ kind, language, digest });
  await db.put("settings", [made("quote", "new"), made("quote", "es", "es"), made("quote", "old"), made("closing-report", "report")], "papers/made/a");
  await db.put("settings", [made("quote", "other")], "papers/made/b");
  for (const one of ["new", "es", "old", "report", "other", "nobody"]) await keepPages(db, one, [`<svg>${one}</svg>`]);
  expect((await letPagesGo(db)).sort()).toEqual(["nobody", "old"]);
  expect([...(await pagesHere(db))].sort()).toEqual(["es", "new", "other", "report"]);
  expect(await pagesOf(db, "new")).toEqual(["<svg>new</svg>"]);
  expect(await pagesOf(db, "old")).toBeUndefined();
  expect(await letPagesGo(db)).toEqual([]);
  // A list that is gone takes its pages along; what it was asked for and all else stays.
  await db.put("settings", ["x"], "papers/asked/b");
  await db.delete("settings", "papers/made/b");
  expect(await letPagesGo(db)).toEqual(["other"]);
  expect(await db.get("settings", "papers/asked/b")).toEqual(["x"]);
});
