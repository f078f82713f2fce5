/** Something around the guard that is not as the owner set it up, while the guard goes on. */
export type Notice = {
  /** What it is about, and the name it is cleared by: `kit`, `baseline`, `certificate:sea`, `link`. */
  readonly about: string;
  /** What happened, and what the guard does instead. */
  readonly message: string;
  /** What to do, in order. */
  readonly actions: readonly string[];
};
