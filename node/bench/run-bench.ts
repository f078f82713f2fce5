import type { FirmwareVersion } from '../board/flash/firmware-image.js';
import { NodeError } from '../errors/node-error.js';
import type { Kit } from '../kit/schema.js';
import { BenchBoat } from './bench-boat.js';
import { paceWords } from './board/pace-words.js';
import { serveBoard } from './board/start-board.js';
import { controlServer } from './control/serve-control.js';
import { enginesOfKit } from './plant/engines-of-kit.js';
import { Plant } from './plant/plant.js';

/** The boat has been under way this long when the bench starts, so that its engines are warm. */
const underWayS = 1200;
const cruise = 0.75;
const lookAtPaceEveryMs = 5_000;
/** Electrical load of a generator set then, of its rated one. */
const hotelLoad = 0.5;

export type BenchOptions = {
  readonly kit: Kit;
  /** TCP ports on loopback; 0 takes a free one. */
  readonly boardPort: number;
  readonly controlPort: number;
  readonly firmware?: FirmwareVersion;
  /** Emulated seconds per second; 1 unless a test is in a hurry. */
  readonly speed?: number;
  /** Decides the hidden deviation of every part, which calibration is to find, and all noise. */
  readonly seed?: number;
  /** Opening the port resets the board, as the adapter of a real Uno does; true unless said otherwise. */
  readonly resetOnOpen?: boolean;
  /** Gets words when this computer cannot keep up, and when it can again. */
  readonly onPace?: (words: string) => void;
};

export type RunningBench = {
  readonly boardPort: number;
  readonly controlPort: number;
  close(): Promise<void>;
};

/**
 * Starts the bench: the kit wired to an emulated board with its engines and the sea behind its probes.
 * Throws `NodeError` when the kit does not fit an Uno or a port is taken.
 */
export async function runBench(options: BenchOptions): Promise<RunningBench> {
  const { kit, seed = 1, firmware, speed, resetOnOpen, onPace } = options;
  const boat = new BenchBoat(kit, warmPlant(kit, seed), { seed });
  const served = await explainPort('board', options.boardPort, () =>
    serveBoard({
      outside: boat,
      tcpPort: options.boardPort,
      ...(firmware && { firmware }),
      ...(speed !== undefined && { speed }),
      ...(resetOnOpen !== undefined && { resetOnOpen }),
    }),
  );
  const control = controlServer({ boat, emulation: served.emulation, port: served.port });
  try {
    await explainPort('control', options.controlPort, () =>
      control.listen({ host: '127.0.0.1', port: options.controlPort }),
    );
  } catch (error) {
    await served.close();
    throw error;
  }
  const words = paceWords();
  const looking = setInterval(() => {
    const said = words(served.pacing.behindS, performance.now() / 1000);
    if (said !== undefined) onPace?.(said);
  }, lookAtPaceEveryMs);
  const address = control.server.address();
  return {
    boardPort: served.port.port,
    controlPort: typeof address === 'object' && address ? address.port : options.controlPort,
    async close() {
      clearInterval(looking);
      await control.close();
      await served.close();
    },
  };
}

function warmPlant({ engines }: Kit, seed: number): Plant<string> {
  const plant = new Plant<string>({ seed, engines: enginesOfKit(engines) });
  for (const { id, kind } of engines) plant.setThrottle(id, kind === 'generator' ? hotelLoad : cruise);
  for (let second = 0; second < underWayS; second++) plant.step(1);
  return plant;
}

async function explainPort<T>(name: 'board' | 'control', port: number, listen: () => Promise<T>): Promise<T> {
  try {
    return await listen();
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw cause;
    throw new NodeError(
      'bench-port-in-use',
      `Port ${port} on this computer is taken, and the bench needs it for its ${name}. Stop the other program (perhaps another bench), or choose a port with --${name}-port.`,
      { cause },
    );
  }
}
