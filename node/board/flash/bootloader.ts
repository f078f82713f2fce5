/** What a bootloader can be asked, one question at a time. Addresses count bytes. Rejects with a plain Error. */
export interface Bootloader {
  /** Calls until it answers; rejects when it never does. */
  sync(): Promise<void>;
  /** The three bytes that name the chip. */
  signature(): Promise<Uint8Array>;
  beginProgramming(): Promise<void>;
  writePage(address: number, page: Uint8Array): Promise<void>;
  readPage(address: number, byteCount: number): Promise<Uint8Array>;
  /** It starts the program. */
  leave(): Promise<void>;
}

/** A bootloader answers earlier calls late; what is on its way then must not pass for the next answer. */
export const waitForStrayAnswers = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 250));
