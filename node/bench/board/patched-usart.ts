import { AVRUSART, type CPU, type usart0Config } from 'avr8js';

const receiveComplete = 0x80;
const dataRegisterEmpty = 0x20;

/** What the computer may have in flight towards the board: more than any Firmata request, then bytes are lost. */
const mostWaitingBytes = 4096;

/**
 * The emulator's USART with three departures from the silicon corrected; without them stock
 * firmware loses received bytes and stalls while sending:
 * a write to UCSRB (the firmware switches UDRIE there) clears a pending receive flag;
 * a write to UCSRA clobbers RXC and UDRE, which are read-only on the chip;
 * UDRE is cleared on entry to its interrupt, though on the chip only a write to UDR clears it.
 * (ATmega328P datasheet DS40002061, section 19.11.)
 */
export class PatchedUsart {
  readonly #usart: AVRUSART;
  #waiting: number[] = [];
  #lostBytes = 0;
  /** A byte has arrived and the firmware has not read it yet. */
  #unread = false;

  constructor(cpu: CPU, config: typeof usart0Config, clockHz: number, onByteSent: (byte: number) => void) {
    const usart = new AVRUSART(cpu, config, clockHz);
    this.#usart = usart;
    usart.onByteTransmit = onByteSent;
    const { UCSRA, UCSRB, UDR } = config;

    // The two interrupts are private in the typings; bracket access is the compiler's own way in.
    // biome-ignore lint/complexity/useLiteralKeys: a private member
    const receiveInterrupt = usart['RXC'];
    // biome-ignore lint/complexity/useLiteralKeys: a private member
    usart['UDRE'].constant = true;

    const keep = (register: number, mask: number, after: (kept: number) => void) => {
      const original = cpu.writeHooks[register];
      cpu.writeHooks[register] = (...written) => {
        const kept = (cpu.data[UCSRA] ?? 0) & mask;
        const answer = original?.(...written) ?? false;
        after(kept);
        return answer;
      };
    };
    keep(UCSRA, receiveComplete | dataRegisterEmpty, (kept) => {
      cpu.data[UCSRA] = (cpu.data[UCSRA] ?? 0) | kept;
    });
    keep(UCSRB, receiveComplete, (kept) => {
      if (kept) cpu.setInterruptFlag(receiveInterrupt);
    });

    const readUdr = cpu.readHooks[UDR];
    cpu.readHooks[UDR] = (address) => {
      const byte = readUdr?.(address) ?? 0;
      this.#unread = false;
      this.#offerNext();
      return byte;
    };
  }

  /** Bits a second that the program has set it to. */
  get baud(): number {
    return this.#usart.baudRate;
  }

  /** Bytes that reached a receiver that was off, or a queue that was full. */
  get lostBytes(): number {
    return this.#lostBytes;
  }

  receive(bytes: Uint8Array): void {
    if (!this.#usart.rxEnable) {
      this.#lostBytes += bytes.length;
      return;
    }
    const room = mostWaitingBytes - this.#waiting.length;
    this.#lostBytes += Math.max(0, bytes.length - room);
    for (const byte of bytes.subarray(0, room)) this.#waiting.push(byte);
    this.#offerNext();
  }

  #offerNext(): void {
    if (this.#unread || this.#usart.rxBusy) return;
    const byte = this.#waiting.shift();
    if (byte === undefined) return;
    this.#unread = true;
    this.#usart.writeByte(byte);
  }
}
