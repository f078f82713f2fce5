/** How one output is doing; shown on the page and by `elbowroom outputs`. */
export type OutputStatus = {
  /** What and where to, for a person: `NMEA 0183 over UDP to 192.168.4.255:10110`. */
  readonly name: string;
  readonly sent: number;
  readonly failed: number;
  /** Waiting to be sent or sent again. */
  readonly waiting: number;
  /** Given up, with the reason in `lastError`. */
  readonly dropped: number;
  /** Connected listeners; only for outputs that can count them. */
  readonly listeners?: number;
  readonly lastError?: string;
};

/** An output of the host, running until it is stopped. */
export interface RunningOutput {
  status(): readonly OutputStatus[];
  stop(): Promise<void>;
}
