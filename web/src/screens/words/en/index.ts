/** English: one file a step; each is spread in here. */
import { base } from "./base";
import { UK, US } from "./countries";
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

export { kinds } from "./kinds";
export const countries = { US, UK };
export const words = { ...base, ...call, ...cutaway, ...draw, ...find, ...hand, ...jobs, ...log, ...office, ...open, ...share, ...work } as const;
