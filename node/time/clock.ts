/** Milliseconds since an arbitrary start; never steps. The only clock that decisions may use. */
export type MonotonicMs = number & { readonly brand: 'monotonic' };

/** Milliseconds since 1970-01-01T00:00:00Z; may step when the computer learns the time. For people and files. */
export type WallMs = number & { readonly brand: 'wall' };

export interface Clock {
  monotonicMs(): MonotonicMs;
  wallMs(): WallMs;
}

export const systemClock: Clock = {
  monotonicMs: () => performance.now() as MonotonicMs,
  wallMs: () => Date.now() as WallMs,
};

/** For times that come back from a file, a frame or a test; marks what the bare number is. */
export const asMonotonicMs = (ms: number): MonotonicMs => ms as MonotonicMs;
export const asWallMs = (ms: number): WallMs => ms as WallMs;
