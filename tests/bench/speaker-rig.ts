import { vi } from 'vitest';
import { Annunciator } from '../../node/annunciator/annunciator.js';
import { BenchBoat } from '../../node/bench/bench-boat.js';
import type { Outside } from '../../node/bench/board/emulation.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { Plant } from '../../node/bench/plant/plant.js';
import type { BytePort, PortOpener } from '../../node/board/byte-port.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { converterFor } from '../../node/convert/converter.js';
import { startGuard } from '../../node/guard/guard.js';
import { settingsFromKit } from '../../node/guard/settings-from-kit.js';
import { parseKit } from '../../node/kit/load-kit.js';
import { Pass, type PassResult } from '../../node/pass/pass.js';
import { openSenses } from '../../node/sense/open-senses.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../node/time/clock.js';
import { FirmataSpeaker } from './firmata-speaker.js';

/** Called for every byte either way; what it returns arrives. */
export type Damage = (byte: number, toBoard: boolean) => number;

const stepMs = 10;
const passEveryMs = 100;

/** A serial line with the speaker at its far end, on the test's own time. */
export class SpeakerLine implements PortOpener {
  readonly label = 'speaker';
  damage: Damage = (byte) => byte;
  readonly #speaker: FirmataSpeaker;
  readonly #onTheWay: number[] = [];
  #listener: ((bytes: Uint8Array) => void) | undefined;

  constructor(outside: Outside) {
    this.#speaker = new FirmataSpeaker(outside, (bytes) => this.#onTheWay.push(...bytes));
  }

  /** Lets the board work for `ms`, hands over what it said, and lets timers and promises of the node run. */
  async advance(ms: number): Promise<void> {
    this.#speaker.advance(ms);
    const bytes = this.#onTheWay.splice(0).map((byte) => this.damage(byte, false));
    if (bytes.length > 0) this.#listener?.(Uint8Array.from(bytes));
    vi.advanceTimersByTime(ms);
    for (let turn = 0; turn < 4; turn++) await null;
  }

  async open(): Promise<BytePort> {
    return {
      label: this.label,
      write: (bytes) => this.#speaker.receive(bytes.map((byte) => this.damage(byte, true))),
      onBytes: (listener) => {
        this.#listener = listener;
      },
      onClosed: () => {},
      close: async () => {
        this.#listener = undefined;
      },
    };
  }
}

/** The whole node short of its link, on a board that behaves like stock firmware, on virtual time. */
export class SpeakerRig {
  readonly kit = parseKit(benchKitYaml, 'bench kit');
  readonly boat: BenchBoat;
  readonly link: LiveBoard;
  readonly line: SpeakerLine;
  last: PassResult | undefined;
  #nowMs = 0;
  readonly #onePass: () => PassResult;

  constructor(seed = 1) {
    this.boat = new BenchBoat(this.kit, cruising(seed), { seed });
    this.line = new SpeakerLine(this.boat);
    const clock: Clock = {
      monotonicMs: () => asMonotonicMs(this.#nowMs),
      wallMs: () => asWallMs(this.#nowMs),
    };
    this.link = new LiveBoard(this.line, clock);
    const { senses } = openSenses(this.kit, this.link, clock);
    const { buzzerPin, lampPin, heartbeatPin } = this.kit.outputs;
    const annunciator = new Annunciator({
      buzzer: this.link.digitalOutput(buzzerPin),
      lamp: this.link.digitalOutput(lampPin),
      heartbeat: this.link.digitalOutput(heartbeatPin),
    });
    const converters = new Map(this.kit.probes.map((probe) => [probe.id, converterFor(probe)]));
    const pass = new Pass(settingsFromKit(this.kit), converters, startGuard(clock.monotonicMs()));
    this.#onePass = () => {
      const sensed = senses.take();
      const result = pass.run(sensed);
      annunciator.play(result.annunciation, clock.monotonicMs());
      if (sensed.complete) annunciator.beat();
      return result;
    };
  }

  /** Moves on by `seconds`; `look` is called after every pass of the node. */
  async run(seconds: number, look: (result: PassResult) => void = () => {}): Promise<void> {
    for (const end = this.#nowMs + seconds * 1000; this.#nowMs < end; ) {
      this.#nowMs += stepMs;
      await this.line.advance(stepMs);
      if (this.#nowMs % passEveryMs !== 0) continue;
      this.last = this.#onePass();
      look(this.last);
    }
  }
}

/** Twenty minutes under way at cruise, so that the engines are warm. */
function cruising(seed: number): Plant {
  const plant = new Plant({ seed });
  for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, 0.75);
  plant.step(1200);
  return plant;
}
