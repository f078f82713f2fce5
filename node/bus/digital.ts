export interface DigitalOutput {
  /** Sets the level. While the board is disconnected the call is forgotten; the owner writes again on the next pass. */
  write(high: boolean): void;
}

export interface DigitalInput {
  /** Called with the level when it is first known and whenever it changes. */
  onLevel(listener: (high: boolean) => void): void;
}
