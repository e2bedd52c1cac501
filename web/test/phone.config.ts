/** Bundles the phone's modules for node: `vite build --config test/phone.config.ts --outDir FOLDER`. */
import { defineConfig } from "vite";

export default defineConfig({
  logLevel: "warn",
  build: { ssr: "test/phone_host.ts", target: "node22", emptyOutDir: false, minify: false },
});
