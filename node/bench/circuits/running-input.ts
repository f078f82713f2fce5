/** An opto-coupler from ignition or oil pressure to a digital pin, with the ways it can lie. */
export class RunningInput {
  readonly pin: number;
  readonly #activeLow: boolean;
  stuck: 'on' | 'off' | undefined;
  #running = false;

  constructor(input: { readonly pin: number; readonly activeLow: boolean }) {
    this.pin = input.pin;
    this.#activeLow = input.activeLow;
  }

  advance(running: boolean): void {
    this.#running = this.stuck ? this.stuck === 'on' : running;
  }

  get level(): boolean {
    return this.#running !== this.#activeLow;
  }
}
