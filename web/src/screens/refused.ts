/**
 * Why something was refused or failed, in the language that is read: in words of ours, or by the phrasebook as far as
 * it is understood.  What neither knows is told as it came.
 */
import { QuantityError } from "../geometry/quantity";
import { BlobError } from "../record/blobs";
import { OfficeError, reasonOf } from "./asked";
import { desk } from "./desk.svelte";

const WORDS = {
  "wrong-password": "passwordWrong",
  "password-length": "passwordLength",
  "own-password": "passwordOwn",
  "common-password": "passwordCommon",
} as const;

export const whyOf = (error: unknown): string => {
  if (error instanceof BlobError) return desk.t(`bytes_${error.why}`);
  if (error instanceof OfficeError && error.status === 0) return desk.t("notReached");
  // An answer without words, of whatever stands between or in the office's place.
  if (error instanceof OfficeError && reasonOf(error) === `${error.status}`) return desk.t("noReason", { n: error.status });
  const known = error instanceof OfficeError && Object.entries(WORDS).find(([code]) => code === error.code);
  return known ? desk.t(known[1]) : desk.tell(reasonOf(error));
};

const LENGTHS = {
  "no unit": "which_unit", comma: "which_comma", "unknown unit": "which_length",
  "no length": "which_length", "too long": "which_long", "below zero": "which_below",
} as const;
/** Why a length was refused, in words. */
export const whyNot = (error: unknown): string => desk.t(LENGTHS[error instanceof QuantityError ? error.why : "no length"]);
