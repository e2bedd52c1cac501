import { createHash } from "node:crypto";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";

/**
 * The service worker, with the list of what it keeps and a name that changes with that list.  A newer
 * one waits until it is told to take over; the files of the one before stay, for a window that still
 * shows it and loads a part late.  It takes the page of the very first visit too: who opened the app once
 * and went below without signal had parts that could not be loaded.
 */
const worker = (): Plugin => ({
  name: "worker",
  apply: "build",
  // After the workers of the phone's own figures are among the files.
  enforce: "post",
  generateBundle(_, bundle) {
    const files = ["./", ...Object.keys(bundle).filter((name) => name !== "index.html"), "icon.svg"];
    const digest = createHash("sha256");
    for (const one of Object.values(bundle)) {
      digest.update(one.fileName).update(one.type === "chunk" ? one.code : one.source);
    }
    const name = JSON.stringify(`wainscot-${digest.digest("hex").slice(0, 16)}`);
    this.emitFile({
      type: "asset",
      fileName: "worker.js",
      source: `const NAME = ${name}, FILES = ${JSON.stringify(files)};
self.addEventListener("install", (e) => e.waitUntil(
  caches.open(NAME).then((cache) => cache.addAll(FILES.map((one) => new Request(one, { cache: "reload" }))))));
self.addEventListener("message", (e) => { if (e.data === "use") self.skipWaiting(); });
self.addEventListener("activate", (e) => e.waitUntil(caches.keys().then((names) => Promise.all([
  self.clients.claim(),
  ...names.filter((one) => one.startsWith("wainscot-") && one !== NAME).slice(0, -1).map((one) => caches.delete(one))]))));
self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin || url.pathname.startsWith("/api/")) return;
  e.respondWith(caches.match(e.request, { ignoreSearch: true, cacheName: NAME })
    .then((kept) => kept || caches.match(e.request, { ignoreSearch: true })).then((kept) => kept || fetch(e.request)));
});
`,
    });
  },
});

export default defineConfig({
  base: "./",
  plugins: [svelte(), worker()],
  build: {
    outDir: "../src/wainscot/static",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    // The cutaway alone is larger; it is loaded when it is asked for.
    chunkSizeWarningLimit: 700,
  },
  worker: { format: "es" },
  test: { include: ["test/*.test.ts"], pool: "threads" },
});
