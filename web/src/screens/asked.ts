/** Asks the office machine; what it refuses is told in its own words. */

import type { Problem } from "../made/office";

export class OfficeError extends Error {
  constructor(
    /** Of HTTP; 0 where it was not reached. */
    readonly status: number,
    readonly code: string,
    message: string,
  ) {
    super(message);
  }
}

/** What an error says by itself; an error without words by its name, so that none is told as nothing. */
export const reasonOf = (error: unknown): string => (error instanceof Error ? error.message || error.name : String(error));

let shut: () => void = () => undefined;
/** Who wants to know that the office lets this device in no more. */
export const whenShut = (told: () => void): void => {
  shut = told;
};

export const asked = async <T>(path: string, body?: string, method = body === undefined ? "GET" : "POST"): Promise<T> => {
  let told: Response;
  try {
    told = await fetch(path, {
      method,
      ...(body === undefined ? {} : { body, headers: { "content-type": "application/json" } }),
      signal: AbortSignal.timeout(20_000),
    });
  } catch (error) {
    throw new OfficeError(0, "not-reached", reasonOf(error));
  }
  if (told.ok) return (told.status === 204 ? undefined : await told.json()) as T;
  const problem = (await told.json().catch(() => ({}))) as Partial<Problem>;
  if (problem.code === "no-login") shut();
  const words = [problem.title, problem.detail].filter(Boolean).join("; ");
  throw new OfficeError(told.status, problem.code ?? "", words || `${told.status}`);
};
