import { boilingC, hoseKpa, RoomError } from '../../../calibration/index.js';
import type { BenchBoat } from '../bench-boat.js';
import type { BoardPort } from '../board/board-port.js';
import type { Emulation } from '../board/emulation.js';
import { simulatorOf } from '../channels/table.js';
import { Mcp960xChip, type McpModel } from '../chips/mcp960x.js';
import { buzzerFaults } from '../circuits/buzzer.js';
import { faults, type ProbeFault } from '../probes/probe-fault.js';
import type { Action } from './actions.js';

/** What an action works on. */
export type Bench = {
  readonly boat: BenchBoat;
  readonly emulation: Emulation;
  readonly port: BoardPort;
};

/** An action that cannot be done as asked: which field is wrong, and what is possible. */
export class ActionError extends RoomError {
  readonly code = 'cannot-act';
  readonly errorCategory = 'usage';
  readonly field: string;

  constructor(field: string, message: string) {
    super(message);
    this.field = field;
  }
}

/** Does it, and says in one sentence what was done. Throws `ActionError`. */
// biome-ignore lint/complexity/noExcessiveLinesPerFunction: a list of commands, each with its effect and its sentence
export async function act(bench: Bench, action: Action): Promise<string> {
  const { boat, emulation, port } = bench;
  const { world } = boat;
  if ('engine' in action && !Object.hasOwn(world.engines, action.engine))
    throw new ActionError(
      'engine',
      `No engine is called "${action.engine}". There are: ${Object.keys(world.engines).join(', ')}.`,
    );
  switch (action.action) {
    case 'throttle':
      world.setThrottle(action.engine, action.value);
      return action.value === 0
        ? `The ${action.engine} engine is stopped.`
        : `The ${action.engine} throttle is at ${action.value}.`;
    case 'bag-intake':
      world.bagIntake(action.engine);
      return `A bag covers the ${action.engine} intake.`;
    case 'clear-intake':
      world.clearIntake(action.engine);
      return `The ${action.engine} intake is clear.`;
    case 'shed-vane':
      world.wearImpeller(action.engine, action.flowLeft);
      return `The ${action.engine} impeller gives ${action.flowLeft} of its flow.`;
    case 'new-impeller':
      world.wearImpeller(action.engine, 1);
      return `The ${action.engine} engine has a new impeller.`;
    case 'clog-strainer':
      world.engineOf(action.engine).ailments.strainer = action.flowLeft;
      return `The ${action.engine} strainer lets ${action.flowLeft} of the flow through.`;
    case 'foul-exchanger':
      world.engineOf(action.engine).ailments.exchanger = action.heatLeft;
      return `The ${action.engine} heat exchanger is at ${action.heatLeft}.`;
    case 'rough-sea':
      world.roughness = action.value;
      return `The sea is at ${action.value}.`;
    case 'sea-temperature':
      world.seaC = action.temperatureC;
      return `The sea is at ${action.temperatureC} C.`;
    case 'running-input':
      return setRunningInput(boat, action.engine, action.reads);
    case 'open-probe':
      return setFault(boat, action.probe, 'open', 'action');
    case 'short-probe':
      return setFault(boat, action.probe, 'short', 'action');
    case 'fault':
      return setFault(boat, action.probe, action.fault, 'fault');
    case 'chip':
      return swapChip(boat, action.probe, action.model);
    case 'restore-probe':
      find(boat.probes, action.probe).fault = undefined;
      return `${action.probe} is whole.`;
    case 'buzzer':
      boat.buzzer.fault = action.fault ?? undefined;
      return action.fault === null ? 'The buzzer is whole.' : `Buzzer: ${buzzerFaults[action.fault]}.`;
    case 'dip':
      return dip(boat, action);
    case 'undip':
      find(boat.elements, action.probe).undip();
      return `${action.probe} is back in its place.`;
    case 'hose':
      return holdHose(boat, action.probe, action.heightM);
    case 'pressure':
      boat.pressureHectopascals = action.hectopascals;
      return `The air pressure is ${action.hectopascals} hPa.`;
    case 'unplug':
      await port.unplug();
      if (action.boardPower === 'lost') emulation.board.powerOff();
      return `The cable is out; the board ${action.boardPower === 'lost' ? 'has no power' : 'keeps its power'}.`;
    case 'replug':
      emulation.board.powerOn();
      await port.plug();
      return 'The cable is in.';
    case 'power-off':
      emulation.board.powerOff();
      return 'The board has no power.';
    case 'power-on':
      emulation.board.powerOn();
      return 'The board has power.';
    case 'reset-board':
      emulation.board.reset();
      return 'The board was reset.';
    case 'freeze-board':
    case 'thaw-board':
      emulation.board.frozen = action.action === 'freeze-board';
      return emulation.board.frozen ? 'The board is frozen.' : 'The board continues.';
    case 'hold-bus':
    case 'release-bus':
      emulation.board.busHeld = action.action === 'hold-bus';
      return emulation.board.busHeld ? 'A chip holds the I2C wires.' : 'The I2C wires are free.';
    case 'line-noise':
      emulation.line.bitErrorsPerByte = action.bitErrorsPerMillionBytes / 1e6;
      return `${action.bitErrorsPerMillionBytes} bytes in a million are damaged.`;
  }
}

/** Fresh water at 20 C, at latitude 45. */
function holdHose(boat: BenchBoat, id: string, heightM: number | undefined): string {
  const { probe } = find(boat.probes, id);
  if (probe.place !== 'raw-water-pressure')
    throw new ActionError('probe', `${id} is no pressure probe: a hose of water says nothing to it.`);
  if (heightM === undefined) {
    boat.heldUpKpa.delete(id);
    return `${id} is back on its engine.`;
  }
  boat.heldUpKpa.set(id, hoseKpa({ heightM, waterC: 20, latitudeDeg: 45 }));
  return `${id} sees ${heightM} m of water.`;
}

function setFault(boat: BenchBoat, probe: string, fault: ProbeFault, field: string): string {
  const wired = find(boat.probes, probe);
  const possible = simulatorOf(wired.probe.channel).faults;
  if (!possible.includes(fault))
    throw new ActionError(field, `${probe} cannot have "${fault}". It can have: ${possible.join(', ')}.`);
  wired.fault = fault;
  return `${probe}: ${faults[fault]}.`;
}

function swapChip(boat: BenchBoat, probe: string, model: McpModel): string {
  const wired = find(boat.probes, probe);
  if (!(wired instanceof Mcp960xChip))
    throw new ActionError(
      'probe',
      `${probe} is not read by an MCP9600 or MCP9601; there is no chip to swap.`,
    );
  wired.model = model;
  return `${probe} is read by an ${model}.`;
}

function dip(boat: BenchBoat, { probe, bath, settled }: Extract<Action, { action: 'dip' }>): string {
  const bathC = bath === 'ice' ? 0 : bath;
  find(boat.elements, probe).dip(
    () => (bathC === 'boiling' ? boilingC(boat.pressureHectopascals) : bathC),
    settled,
  );
  return `${probe} is in ${typeof bath === 'number' ? `a bath of ${bath} C` : bath === 'ice' ? 'melting ice' : 'boiling water'}.`;
}

function setRunningInput(boat: BenchBoat, engine: string, reads: 'truth' | 'on' | 'off' | 'chatter'): string {
  const input = boat.runningInputs.get(engine);
  if (!input) throw new ActionError('engine', `The kit has no runningInput for the ${engine} engine.`);
  input.fault = reads === 'truth' ? undefined : reads;
  return `The ${engine} running input ${runningInputWords[reads]}.`;
}

function find<Value>(among: ReadonlyMap<string, Value>, probe: string): Value {
  const value = among.get(probe);
  if (value) return value;
  throw new ActionError(
    'probe',
    `No probe is called "${probe}". There are: ${[...among.keys()].join(', ')}.`,
  );
}

const runningInputWords = {
  truth: 'is right',
  on: 'is stuck on',
  off: 'is stuck off',
  chatter: 'chatters',
} as const;
