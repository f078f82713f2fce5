/** An open line to a board: a serial port or a socket. It is closed once and not opened again. */
export interface BytePort {
  /** For people: the path or the address that was opened. */
  readonly label: string;
  write(bytes: Uint8Array): void;
  onBytes(listener: (bytes: Uint8Array) => void): void;
  /** Called once, whichever end closed it. */
  onClosed(listener: (why: string) => void): void;
  /** Resets the board where the line can, as an Uno's serial adapter does on a drop of DTR. */
  pulseReset?(): Promise<void>;
  /** Resolves when the port is free again, at the latest after a second. Safe to call twice. */
  close(): Promise<void>;
}

export interface PortOpener {
  /** What the owner asked for, in words, for messages. */
  readonly label: string;
  /** Rejects with a sentence for a person when there is nothing to open. */
  open(): Promise<BytePort>;
  /** Called when the port it opened turned out to be the right one. */
  carriesFirmware?(label: string): void;
}

/** Bytes that may wait for a line that does not take them, before the line is given up. Stock firmware takes 5.7 kB/s. */
export const mostBytesWaiting = 4096;
