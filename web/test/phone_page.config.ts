/** Bundles the phone's modules for a page: `vite build --config test/phone_page.config.ts --outDir FOLDER`. */
import { defineConfig } from "vite";

export default defineConfig({
  logLevel: "warn",
  publicDir: false,
  build: {
    lib: { entry: "test/phone_page.ts", formats: ["iife"], name: "phone", fileName: () => "phone_page.js" },
    target: "es2022", emptyOutDir: false,
  },
});
