import { base } from "./base";
import { cutaway } from "./cutaway";
import type { Words } from "../words";

export { kinds } from "./kinds";
export const words: Words = { ...base, ...cutaway };
