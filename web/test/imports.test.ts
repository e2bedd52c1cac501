/** geometry <- drawing <- record <- kernel <- screens: a folder imports only those before it. */
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const ORDER = ["made", "geometry", "drawing", "record", "kernel", "screens"];
const source = fileURLToPath(new URL("../src", import.meta.url));

/** The folders that a file within `folder` imports from, as many levels down as it lies. */
const outOfOrder = (folder: string, text: string, depth = 1): string[] => {
  const up = `(?:\\.\\./){${depth}}`;
  const found = [...text.matchAll(new RegExp(`(?:from|import)\\s*\\(?\\s*"${up}(\\w+)/`, "g"))];
  const imports = found.map((one) => one[1]!);
  return imports.filter((one) => ORDER.indexOf(one) > ORDER.indexOf(folder) || !ORDER.includes(one));
};

test("no folder imports a later one", () => {
  let looked = 0;
  for (const folder of ORDER) {
    for (const name of readdirSync(`${source}/${folder}`, { recursive: true, encoding: "utf8" })) {
      if (!/\.(ts|svelte)$/.test(name)) continue;
      looked += 1;
      const text = readFileSync(`${source}/${folder}/${name}`, "utf8");
      expect([folder, name, outOfOrder(folder, text, name.split("/").length)]).toEqual([folder, name, []]);
    }
  }
  expect(looked).toBeGreaterThan(9);
});

test("the rule would tell", () => {
  expect(outOfOrder("geometry", 'import { fold } from "../record/fold";')).toEqual(["record"]);
  expect(outOfOrder("record", 'import("../../screens/desk");', 2)).toEqual(["screens"]);
});
