/** An opto-coupler from ignition or oil pressure to a digital pin, with the ways it can lie. */
export class RunningInput {
  readonly pin: number;
  readonly #activeLow: boolean;
  fault: 'on' | 'off' | 'chatter' | undefined;
  #running = false;

  constructor(input: { readonly pin: number; readonly activeLow: boolean }) {
    this.pin = input.pin;
    this.#activeLow = input.activeLow;
  }

  /** Called a hundred times a second; a chattering contact opens and closes with every call. */
  advance(running: boolean): void {
    if (this.fault === 'chatter') this.#running = !this.#running;
    else this.#running = this.fault ? this.fault === 'on' : running;
  }

  get level(): boolean {
    return this.#running !== this.#activeLow;
  }
}
