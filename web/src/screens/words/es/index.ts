import { base } from "./base";
import type { Words } from "../words";

export { kinds } from "./kinds";
export const words: Words = { ...base };
