import { connect } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { BenchBoat } from '../../../node/bench/bench-boat.js';
import { Emulation } from '../../../node/bench/board/emulation.js';
import { actionSchema } from '../../../node/bench/control/actions.js';
import { controlServer } from '../../../node/bench/control/serve-control.js';
import { benchBoats, benchKitYaml } from '../../../node/bench/index.js';
import { enginesOfKit } from '../../../node/bench/plant/engines-of-kit.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { type RunningBench, runBench } from '../../../node/bench/run-bench.js';
import { stockFirmware } from '../../../node/board/flash/firmware-image.js';
import { parseKit } from '../../../node/kit/load-kit.js';

/** The bench's kit with a pressure probe where its reference pin is, so that every action has something to act on. */
const kit = parseKit(
  `${benchKitYaml.replace(/^referencePin:.*\n/m, '')}  - id: port-pump
    name: Port pump
    engine: port
    place: raw-water-pressure
    channel: { kind: ratiometric-pressure, pin: A3 }
`,
  'bench kit',
);

function bench(of = kit, plant = new Plant()) {
  const boat = new BenchBoat(of, plant, { exact: true });
  const emulation = new Emulation(stockFirmware('2.5'), boat);
  const plugs: string[] = [];
  const port = {
    pluggedIn: true,
    clientConnected: false,
    plug: async () => void plugs.push('in'),
    unplug: async () => void plugs.push('out'),
  };
  const app = controlServer({ boat, emulation, port });
  const post = async (payload: string, contentType = 'application/json') => {
    const answer = await app.inject({
      method: 'POST',
      url: '/do',
      payload,
      headers: { 'content-type': contentType },
    });
    return { status: answer.statusCode, body: answer.json() as Record<string, unknown> };
  };
  const get = async (url: string) => (await app.inject({ url })).json();
  return { app, boat, emulation, plugs, post, get };
}
/** Lets emulated time pass with the board's power off, which costs next to nothing. */
const pass = ({ emulation }: ReturnType<typeof bench>, seconds: number) => {
  emulation.board.powerOff();
  emulation.advanceCycles(seconds * 16e6);
};

describe('the control endpoint', () => {
  it('lists every action with an example that works as printed', async () => {
    const { post, get } = bench();
    const { do: actions } = (await get('/')) as { do: { what: string; example: string }[] };
    expect(actions.map(({ example }) => JSON.parse(example).action).sort()).toEqual(
      actionSchema.options.map(({ shape }) => shape.action.value).sort(),
    );
    for (const { example, what } of actions) {
      const { status, body } = await post(example);
      expect({ example, status }).toEqual({ example, status: 200 });
      expect(body.did).toMatch(/^.+\.$/);
      expect(what).toMatch(/.{8}/);
    }
  });

  it('lists examples that work on a boat with one engine and no pressure probe', async () => {
    const { engines, ...single } = parseKit(benchBoats.single, 'single');
    const plant = new Plant({ engines: enginesOfKit(engines) });
    const { post, get } = bench({ ...single, engines }, plant);
    const { do: actions } = (await get('/')) as { do: { example: string }[] };
    expect(actions.length).toBe(actionSchema.options.length - 1);
    for (const { example } of actions)
      expect({ example, status: (await post(example)).status }).toEqual({ example, status: 200 });
  });

  it.each([
    ['a form on a web page from elsewhere', { origin: 'https://example.org' }],
    ['a script on such a page', { 'sec-fetch-site': 'cross-site' }],
    ['a foreign name that was pointed at this computer', { host: 'example.org:8471' }],
  ])('refuses %s, and does nothing', async (_, headers) => {
    const { app, plugs } = bench();
    const answer = await app.inject({
      method: 'POST',
      url: '/do',
      payload: '{"action":"unplug"}',
      headers: { host: '127.0.0.1:8471', 'content-type': 'text/plain', ...headers },
    });
    expect(answer.statusCode).toBe(403);
    expect(plugs).toEqual([]);
  });

  it('takes JSON under any content type, as a plain curl -d sends it', async () => {
    const { post } = bench();
    const answer = await post('{"action":"unplug"}', 'application/x-www-form-urlencoded');
    expect(answer).toMatchObject({ status: 200, body: { did: 'The cable is out; the board has no power.' } });
  });

  const refusals: readonly [string, string, string][] = [
    ['', 'body', 'Not JSON. Send an object such as {"action":"bag-intake","engine":"starboard"}.'],
    ['{"action":"bag-intake"', 'body', 'Not JSON.'],
    ['[]', 'action', 'No "action". There are: throttle, bag-intake,'],
    ['{"action":"throttel"}', 'action', 'No action "throttel". There are: throttle,'],
    ['{"action":"throttle","engine":"prot","value":1}', 'engine', 'There are: port, starboard.'],
    [
      '{"action":"throttle","engine":"port","value":1.5}',
      'value',
      'For example {"action":"throttle","engine":"port"',
    ],
    ['{"action":"throttle","engine":"port"}', 'value', 'expected number'],
    ['{"action":"unplug","now":true}', 'now', 'Unrecognized key'],
    [
      '{"action":"open-probe","probe":"elbow"}',
      'probe',
      'There are: port-elbow, starboard-elbow, sea-water,',
    ],
    ['{"action":"fault","probe":"sea-water","fault":"absent"}', 'fault', 'It can have: open, short,'],
    ['{"action":"chip","probe":"sea-water","model":"MCP9600"}', 'probe', 'no chip to swap'],
    ['{"action":"dip","probe":"sea-water","bath":"tea"}', 'bath', 'For example {"action":"dip"'],
    ['{"action":"dip","probe":"sea-water","bath":900}', 'bath', 'For example'],
  ];
  it.each(refusals)('refuses %s naming %s and the remedy', async (payload, field, message) => {
    const { post } = bench();
    const { status, body } = await post(payload);
    expect(status).toBe(400);
    expect(body).toMatchObject({ error: 'bad-request', field });
    expect(body.message).toContain(message);
  });

  it('gives the truth of probes, pins and board', async () => {
    const stage = bench();
    await stage.post('{"action":"dip","probe":"sea-water","bath":40}');
    await stage.post('{"action":"short-probe","probe":"port-elbow"}');
    pass(stage, 30);
    const truth = (await stage.get('/truth')) as Record<string, Record<string, unknown>>;
    expect(truth.probes?.['sea-water']).toMatchObject({
      temperatureC: stage.boat.elements.get('sea-water')?.temperatureC,
      dipped: true,
      fault: null,
    });
    expect(stage.boat.elements.get('sea-water')?.temperatureC).toBeCloseTo(40, 2);
    expect(truth.probes?.['port-elbow']).toMatchObject({ fault: 'short' });
    expect(truth.pins).toEqual({ buzzer: false, lamp: false, heartbeatEdges: 0, missingPulseSounding: true });
    // No edge ever came, and the circuit waits 2.2 s.
    expect(truth.missingPulseSoundsFromS).toBe(2.2);
    expect(truth.board).toMatchObject({ powered: false });
  });

  it('a probe taken out of its bath returns to the temperature of its place', async () => {
    const stage = bench();
    await stage.post('{"action":"dip","probe":"port-elbow","bath":"boiling"}');
    pass(stage, 30);
    const element = stage.boat.elements.get('port-elbow');
    // IAPWS: 99.974 C at 1013.25 hPa.
    expect(element?.temperatureC).toBeCloseTo(99.97, 1);
    await stage.post('{"action":"undip","probe":"port-elbow"}');
    pass(stage, 60);
    expect(element?.dipped).toBe(false);
    const spot = { engine: 'port', place: 'wet-elbow', mounting: 'well' } as const;
    expect(element?.temperatureC).toBe(stage.boat.world.elementTemperatureC(spot));
  });

  it('a probe dipped as settled has the temperature of its bath at once; one dipped without it follows', async () => {
    const stage = bench();
    await stage.post('{"action":"dip","probe":"port-elbow","bath":"ice","settled":true}');
    await stage.post('{"action":"dip","probe":"starboard-elbow","bath":"ice"}');
    pass(stage, 0.1);
    expect(stage.boat.elements.get('port-elbow')?.temperatureC).toBeCloseTo(0, 6);
    expect(stage.boat.elements.get('starboard-elbow')?.temperatureC).toBeGreaterThan(10);
  });

  it('throttle and bag reach the engine: gas warms with load, the elbow with the loss of water', async () => {
    const stage = bench();
    await stage.post('{"action":"throttle","engine":"port","value":0.75}');
    pass(stage, 300);
    const temperature = (id: string) => stage.boat.elements.get(id)?.temperatureC ?? Number.NaN;
    expect(temperature('port-exhaust')).toBeGreaterThan(temperature('starboard-exhaust') + 100);
    const before = temperature('port-elbow');
    await stage.post('{"action":"bag-intake","engine":"port"}');
    pass(stage, 60);
    expect(temperature('port-elbow')).toBeGreaterThan(before + 30);
    await stage.post('{"action":"clear-intake","engine":"port"}');
    pass(stage, 120);
    expect(Math.abs(temperature('port-elbow') - before)).toBeLessThan(5);
  });

  it('pulling the cable takes the power of a board that has no other, or leaves it', async () => {
    const { post, emulation, plugs } = bench();
    await post('{"action":"unplug"}');
    expect(emulation.board.powered).toBe(false);
    await post('{"action":"replug"}');
    expect(emulation.board.powered).toBe(true);
    await post('{"action":"unplug","boardPower":"kept"}');
    expect(emulation.board.powered).toBe(true);
    expect(plugs).toEqual(['out', 'in', 'out']);
  });
});

describe('the bench as a whole', () => {
  const running: RunningBench[] = [];
  afterEach(async () => {
    for (const one of running.splice(0)) await one.close();
  });
  const start = async (boardPort = 0, controlPort = 0) => {
    const one = await runBench({ kit, boardPort, controlPort, speed: 0 });
    running.push(one);
    return one;
  };

  it('reports the ports it got, starts with warm engines under way, and ends when closed', async () => {
    const { boardPort, controlPort, close } = await start();
    const truth = (await (await fetch(`http://127.0.0.1:${controlPort}/truth`)).json()) as {
      engines: object;
    };
    expect(truth.engines).toMatchObject({ port: { running: true }, starboard: { running: true } });
    running.length = 0;
    await close();
    await expect(fetch(`http://127.0.0.1:${controlPort}/truth`)).rejects.toThrow();
    const refused = await new Promise((resolve) => connect(boardPort, '127.0.0.1').on('error', resolve));
    expect(String(refused)).toContain('ECONNREFUSED');
  });

  it('says which of its ports is taken, and lets go of the other', async () => {
    const first = await start();
    await expect(start(first.boardPort)).rejects.toMatchObject({
      code: 'bench-port-in-use',
      message: expect.stringContaining('--board-port'),
    });
    await expect(start(0, first.controlPort)).rejects.toMatchObject({
      code: 'bench-port-in-use',
      message: expect.stringContaining('--control-port'),
    });
  });
});
