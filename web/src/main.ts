import { mount } from "svelte";
import "./drawing/tokens.css";
import "./screens/style.css";
import App from "./screens/App.svelte";
import { update } from "./screens/update.svelte";

mount(App, { target: document.getElementById("app")! });
if ("serviceWorker" in navigator && import.meta.env.PROD) {
  // Without it the app works, but cannot be opened without the server.
  update.start().catch(() => undefined);
}
