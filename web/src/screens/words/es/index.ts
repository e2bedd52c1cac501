import phrases from "../../../made/phrases.es.json";
import { base } from "./base";
import { call } from "./call";
import { cutaway } from "./cutaway";
import { draw } from "./draw";
import { find } from "./find";
import { hand } from "./hand";
import { jobs } from "./jobs";
import { log } from "./log";
import { office } from "./office";
import { open } from "./open";
import { share } from "./share";
import { work } from "./work";
import type { Words } from "../words";

export { phrases };
export { kinds } from "./kinds";
export const words: Words = { ...base, ...call, ...cutaway, ...draw, ...find, ...hand, ...jobs, ...log, ...office, ...open, ...share, ...work };
