/** English: one file a step; each is spread in here. */
import { base } from "./base";
import { cutaway } from "./cutaway";

export { kinds } from "./kinds";
export const words = { ...base, ...cutaway } as const;
