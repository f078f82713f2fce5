/** Waits between two attempts: soon at first, and for ever. */
const waitsMs = [1_000, 2_000, 5_000, 10_000, 30_000] as const;

export type Trying = {
  /** Resolves after the first attempt, successful or not. */
  readonly triedOnce: Promise<void>;
  stop(): void;
};

/** Tries until it works; `onTrouble` gets each failure. For all that reports and is not the guard. */
export const keepTrying = (work: () => Promise<void>, onTrouble: (error: Error) => void): Trying => {
  let timer: NodeJS.Timeout | undefined;
  let stopped = false;
  const attempt = async (tries: number): Promise<void> => {
    try {
      await work();
    } catch (error) {
      if (stopped) return;
      onTrouble(error as Error);
      const waitMs = waitsMs[Math.min(tries, waitsMs.length - 1)] ?? 30_000;
      timer = setTimeout(() => void attempt(tries + 1), waitMs);
    }
  };
  return {
    triedOnce: attempt(0),
    stop: () => {
      stopped = true;
      clearTimeout(timer);
    },
  };
};
