/** Why the office refused, in the language that is read: in words of ours, or by the phrasebook as far as it is understood. */
import { OfficeError } from "./asked";
import { desk } from "./desk.svelte";

const WORDS = {
  "wrong-password": "passwordWrong",
  "password-length": "passwordLength",
  "own-password": "passwordOwn",
  "common-password": "passwordCommon",
} as const;

export const whyOf = (error: unknown): string => {
  if (!(error instanceof Error)) return String(error);
  if (!(error instanceof OfficeError)) return error.message;
  if (error.status === 0) return desk.t("notReached");
  const known = Object.entries(WORDS).find(([code]) => code === error.code);
  return known ? desk.t(known[1]) : desk.tell(error.message);
};
