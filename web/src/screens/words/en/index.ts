/** English: one file a step; each is spread in here. */
import { base } from "./base";

export { kinds } from "./kinds";
export const words = { ...base } as const;
