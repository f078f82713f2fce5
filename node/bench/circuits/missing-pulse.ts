/**
 * The dead-man circuit on the heartbeat pin, on a supply of its own: it sounds when no edge came for its time.
 * Armed from the moment its supply comes, so a node that never starts is heard too.
 */
export class MissingPulse {
  readonly soundsAfterS: number;
  #lastEdgeAtS = 0;
  #edges = 0;

  constructor(soundsAfterS: number) {
    this.soundsAfterS = soundsAfterS;
  }

  get edges(): number {
    return this.#edges;
  }

  edge(atS: number): void {
    this.#edges++;
    this.#lastEdgeAtS = atS;
  }

  /** When it sounds, or began to, unless another edge comes before, s. */
  get soundsFromS(): number {
    return this.#lastEdgeAtS + this.soundsAfterS;
  }

  isSounding(atS: number): boolean {
    return atS - this.#lastEdgeAtS > this.soundsAfterS;
  }
}
