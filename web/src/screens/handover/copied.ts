/** Puts a text where it can be pasted; false where the browser does not let, as without TLS. */
export const copied = async (text: string): Promise<boolean> => {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
};
