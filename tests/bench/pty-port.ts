import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import type { BoardPort } from '../../node/bench/board/board-port.js';
import { Emulation, type Outside } from '../../node/bench/board/emulation.js';
import type { SerialLine } from '../../node/bench/board/serial-line.js';
import { nothingConnected, runBehind } from '../../node/bench/board/start-board.js';
import { type FirmwareVersion, stockFirmware } from '../../node/board/flash/firmware-image.js';

const appearsWithinMs = 5000;

/**
 * The board's serial line as a pseudo-terminal, so that the node opens it with the real serial binding.
 * Needs socat (Debian: apt-get install socat). The opening of a pseudo-terminal cannot be seen from its other end: no reset then.
 */
export class PtyPort implements BoardPort {
  readonly #line: SerialLine;
  readonly #link: string;
  #socat: ChildProcess | undefined;

  /** `link` is the path that the terminal will have. */
  constructor(line: SerialLine, link: string) {
    this.#line = line;
    this.#link = link;
  }

  get pluggedIn(): boolean {
    return this.#socat !== undefined;
  }

  /** Unknown to this side; a terminal that is there counts as open. */
  get clientConnected(): boolean {
    return this.pluggedIn;
  }

  async plug(): Promise<void> {
    if (this.#socat) return;
    rmSync(this.#link, { force: true });
    const socat = spawn('socat', [`PTY,link=${this.#link},rawer`, 'STDIO'], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    let failure: Error | undefined;
    socat.once('error', (error) => {
      failure = error;
    });
    socat.stdin.on('error', () => {});
    for (const end = performance.now() + appearsWithinMs; !existsSync(this.#link); ) {
      if (failure) throw new Error(`Cannot start socat (apt-get install socat): ${failure.message}`);
      if (performance.now() > end) throw new Error(`socat made no terminal at ${this.#link}`);
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    this.#socat = socat;
    socat.stdout.on('data', (bytes: Buffer) => this.#line.fromComputer(bytes));
    this.#line.open((bytes) => socat.stdin.write(bytes));
    socat.once('exit', () => {
      if (this.#socat !== socat) return;
      this.#socat = undefined;
      this.#line.close();
    });
  }

  /** Kills the terminal's other end, which is what a pulled plug looks like to the computer. */
  async unplug(): Promise<void> {
    const socat = this.#socat;
    this.#socat = undefined;
    this.#line.close();
    if (!socat) return;
    const gone = new Promise((resolve) => socat.once('exit', resolve));
    socat.kill('SIGKILL');
    await gone;
    rmSync(this.#link, { force: true });
  }
}

/** A running board behind a pseudo-terminal at the path `link`. */
export async function serveBoardOnTerminal(options: {
  readonly link: string;
  readonly firmware?: FirmwareVersion;
  readonly outside?: Outside;
  readonly speed?: number;
}) {
  const program = stockFirmware(options.firmware ?? '2.5');
  const emulation = new Emulation(program, options.outside ?? nothingConnected);
  const port = new PtyPort(emulation.line, options.link);
  return runBehind(port, emulation, options.speed);
}
