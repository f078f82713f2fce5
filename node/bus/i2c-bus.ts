/** The result of one I2C request. A device that did not answer is a value, not an exception: it happens at sea. */
export type I2cAnswer =
  | { readonly kind: 'bytes'; readonly bytes: readonly number[] }
  | {
      readonly kind: 'no-answer';
      /** `garbled`: something on the way to or from the board was damaged, so this answer cannot be believed. */
      readonly why: 'not-acknowledged' | 'timeout' | 'wrong-length' | 'garbled' | 'board-away';
      /** What the firmware said, where it said anything. */
      readonly detail?: string;
    };

/** A bus with one request in flight; further requests wait their turn. Addresses are 7 bits. */
export interface I2cBus {
  read(address: number, register: number, byteCount: number): Promise<I2cAnswer>;
  write(address: number, bytes: readonly number[]): Promise<void>;
}
