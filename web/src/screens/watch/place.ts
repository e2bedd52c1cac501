/** Where a trap or bait lies, in words. */
import { desk } from "../desk.svelte";

export const placeName = (place: { of?: string | undefined } | undefined): string => {
  const [key, side] = (place?.of ?? "").split("/");
  return [String(desk.job.entities[key ?? ""]?.["name"] ?? desk.word(String(desk.job.entities[key ?? ""]?.["type"] ?? key ?? ""))), side].filter(Boolean).join(", ");
};
