/** The plug of the board's cable, whatever the cable is. */
export interface BoardPort {
  readonly pluggedIn: boolean;
  readonly clientConnected: boolean;
  plug(): Promise<void>;
  unplug(): Promise<void>;
}
