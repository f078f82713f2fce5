import { execFileSync } from 'node:child_process';
import { readFileSync, rmSync, symlinkSync, truncateSync, unlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { readKitCopy } from '../../../node/run/kit-copies.js';
import { hotC, SimpleBoat, simpleKit } from './simple-boat.js';

let boat: SimpleBoat;
beforeEach(() => {
  boat = new SimpleBoat();
});
afterEach(() => boat.remove());

/** Beats, and sounds within 8 s of an elbow that is too hot. */
const guards = async () => {
  const { beats } = boat;
  await boat.run(3);
  expect(boat.beats).toBeGreaterThan(beats + 20);
  const sounded = boat.buzzerOnAtMs.length;
  boat.elbowC = hotC;
  expect(await boat.until(() => boat.buzzerOnAtMs.length > sounded + 2, 8)).toBe(true);
};

/** A run that went well, so that there is a last good copy. */
const onceWell = async () => {
  await boat.start();
  await boat.run(2);
  expect(boat.alerts()).toEqual([]);
  await boat.stop();
};

const halfOf = (path: string) => truncateSync(path, Math.floor(readFileSync(path).length / 2));
const damages: [how: string, (path: string) => void][] = [
  ['is missing', unlinkSync],
  ['is empty', (path) => truncateSync(path, 0)],
  ['is half written', halfOf],
  ['holds something else', (path) => writeFileSync(path, 'hello: 1\n')],
  [
    'is a named pipe without a writer',
    (path) => {
      unlinkSync(path);
      execFileSync('mkfifo', [path]);
    },
  ],
  [
    'is a device without an end',
    (path) => {
      unlinkSync(path);
      symlinkSync('/dev/zero', path);
    },
  ],
];
const files = ['kit', 'baseline', 'certificate'] as const;
const pathOf = (file: (typeof files)[number]) => boat[`${file}Path`];
const cases = files.flatMap((file) => damages.map(([how, damage]) => ({ file, how, damage })));

describe('a start with a file that cannot be used', () => {
  test.each(cases)(
    '$file $how: the last good copy is in force, and a notice says so',
    async ({ file, damage }) => {
      await onceWell();
      damage(pathOf(file));
      await boat.start();
      await boat.run(1);
      expect(boat.alerts()).toHaveLength(1);
      expect(boat.alerts()[0]).toMatch(/last good/);
      await guards();
    },
  );

  test.each(cases.filter(({ file }) => file !== 'kit'))(
    '$file $how and there is no copy: the guard continues without, and a notice says so',
    async ({ file, damage }) => {
      damage(pathOf(file));
      await boat.start();
      expect(boat.alerts()).toHaveLength(1);
      expect(boat.alerts()[0]).toMatch(file === 'baseline' ? /plain detector/ : /maker's curve/);
      await guards();
    },
  );

  test('a notice sounds three pips, once, and is gone when the file is corrected', async () => {
    const text = readFileSync(boat.baselinePath, 'utf8');
    unlinkSync(boat.baselinePath);
    await boat.start();
    await boat.run(30);
    expect(boat.buzzerOnAtMs).toHaveLength(3);
    // Far longer than an unacknowledged warning takes to become an alarm.
    await boat.run(200);
    expect(boat.buzzerOnAtMs).toHaveLength(3);
    writeFileSync(boat.baselinePath, text);
    await boat.run(6);
    expect(boat.alerts()).toEqual([]);
  });

  test('the kit and one of its two copies are damaged: the other copy is in force', async () => {
    await onceWell();
    unlinkSync(boat.kitPath);
    const copy = join(boat.dataDir, 'last-good-kit.json');
    writeFileSync(copy, readFileSync(copy, 'utf8').replace('port-elbow', 'port-elbov'));
    await boat.start();
    await guards();
  });

  test('no kit and no copy: that ends, and the message names the file', async () => {
    unlinkSync(boat.kitPath);
    await expect(boat.start()).rejects.toMatchObject({ code: 'kit-not-found' });
  });
});

describe('while the node runs', () => {
  test.each([
    ['half a kit', simpleKit.slice(0, 300)],
    ['a kit that names a baseline that is not there', simpleKit.replace('baseline.yaml', 'none.yaml')],
    ['a kit that moves a wire', simpleKit.replace('pin: A0', 'pin: A1')],
  ])('%s that is saved is a notice, and the settings before guard on', async (_, text) => {
    await boat.start();
    await boat.run(1);
    writeFileSync(boat.kitPath, text);
    expect(boat.node?.reload().ok).toBe(false);
    expect(boat.alerts()[0]).toMatch(/^The kit file was not taken over\./);
    await guards();
    writeFileSync(boat.kitPath, simpleKit);
    expect(boat.node?.reload().ok).toBe(true);
    expect(boat.alerts()).toEqual([]);
  });
});

describe('what reports cannot keep the guard from starting', () => {
  test.each([
    ['the link', 'linkListen', /^No host can be served/],
    ['the health page', 'healthListen', /^The health page cannot listen/],
  ] as const)(
    'the port of %s is taken: it guards, says so, and takes the port when it is free',
    async (_, option, says) => {
      const other = createServer();
      await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
      const { port } = other.address() as { port: number };
      const node = await boat.start({ [option]: `127.0.0.1:${port}` });
      expect(boat.alerts()[0]).toMatch(says);
      await guards();
      await new Promise((done) => other.close(done));
      const taken = option === 'linkListen' ? node.linkPort : node.healthPort;
      expect(await boat.until(() => taken() === port, 40)).toBe(true);
      expect(boat.alerts()).toEqual([]);
    },
  );

  test('the serial wire of the link is not there: it guards and says so', async () => {
    writeFileSync(
      boat.kitPath,
      simpleKit.replace(/link: .*/, 'link: { over: serial, path: /dev/elbowroom-none }'),
    );
    await boat.start();
    expect(await boat.until(() => boat.alerts().length > 0, 5)).toBe(true);
    expect(boat.alerts()[0]).toMatch(/^No host can be served: There is no \/dev\/elbowroom-none/);
    await guards();
  });

  test('the data folder is in use: it guards, says so, and remembers from when the folder is free', async () => {
    let inUse = true;
    await boat.start({
      holdDataDir: async () => {
        if (inUse) throw new Error('The data folder is in use by process 1.');
      },
    });
    expect(boat.alerts()[0]).toMatch(
      /^The data folder is in use by process 1\. This node guards all the same/,
    );
    await guards();
    inUse = false;
    expect(await boat.until(() => boat.alerts().length === 0, 40)).toBe(true);
    await boat.run(11);
    await boat.stop();
    expect(JSON.parse(readFileSync(join(boat.dataDir, 'node-state.json'), 'utf8')).layout).toBe(2);
  });

  test('the data folder is in use: the last good kit in it stays its own until the folder is free', async () => {
    await onceWell();
    const nameKept = () => readKitCopy(boat.dataDir)?.kit.match(/name: (\w+)/)?.[1];
    boat.writeKit(simpleKit.replace('Invented', 'Other'));
    let inUse = true;
    await boat.start({
      holdDataDir: async () => {
        if (inUse) throw new Error('The data folder is in use by process 1.');
      },
    });
    await boat.run(2);
    expect(boat.node?.reload().ok).toBe(true);
    await boat.run(2);
    expect(nameKept()).toBe('Invented');
    inUse = false;
    expect(await boat.until(() => nameKept() === 'Other', 40)).toBe(true);
  });

  test('a data folder that is a file: it guards', async () => {
    rmSync(boat.dataDir, { recursive: true, force: true });
    writeFileSync(boat.dataDir, 'in the way');
    await boat.start();
    await guards();
  });
});
