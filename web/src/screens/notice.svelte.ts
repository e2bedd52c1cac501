/** What is said to the person for ten seconds, in one place: each notice takes the place of the one before. */
export interface Said {
  readonly words: string;
  readonly left: number;
  readonly actions: readonly { readonly words: string; readonly run: () => void }[];
  readonly undo?: () => void;
}

export class Notice {
  said = $state.raw<Said | null>(null);
  private clock: ReturnType<typeof setInterval> | undefined;

  say = (words: string, actions: Said["actions"] = [], undo?: () => void): void => {
    clearInterval(this.clock);
    this.said = { words, actions, left: 10, ...(undo ? { undo } : {}) };
    this.clock = setInterval(() => {
      const left = (this.said?.left ?? 0) - 1;
      if (this.said && left > 0) this.said = { ...this.said, left };
      else this.hush();
    }, 1000);
  };

  hush = (): void => {
    clearInterval(this.clock);
    this.said = null;
  };
}
