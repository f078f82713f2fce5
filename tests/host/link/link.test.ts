import { describe, expect, it } from 'vitest';
import { Recent } from '../../../host/live/recent.js';
import { nowDocument } from '../../../host/serve/now.js';
import type { AlertRow } from '../../../node/link/messages.js';
import { newSecret } from '../../../node/link/seal.js';
import { card, reading, startAt } from '../store/made-readings.js';
import { all, closeAfterEach, closers, startHost, startNode, startWire, until } from './real-link.js';

closeAfterEach();

describe('the link', () => {
  it('stores every frame once over a wire that flips a bit in every 20 kB and is cut five times', async () => {
    const node = await startNode();
    let untilFlip = 5_000;
    const wire = await startWire(node.port, (bytes) => {
      const out = Buffer.from(bytes);
      for (; untilFlip < out.length; untilFlip += 20_000) out[untilFlip] = (out[untilFlip] ?? 0) ^ 0x08;
      untilFlip -= out.length;
      return out;
    });
    const host = startHost([`127.0.0.1:${wire.port}`]);
    await until(() => expect(host.live.nodes()[0]?.connected).toBe(true));
    const count = 1500;
    for (let i = 0; i < count; i++) {
      node.publishSecond(i);
      if (i % 250 === 249) {
        wire.cut();
        await until(() => expect(host.live.nodes()[0]?.connected).toBe(true));
      }
    }
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-1')).toBe(count + 1));
    const rows = host.store.span(all);
    expect(rows).toEqual(Array.from({ length: count }, (_, i) => reading('port-elbow', startAt + i * 1000)));
    expect(host.link.counters.damagedFrames).toBeGreaterThan(5);
    expect(host.store.gaps({ from: 0, to: startAt * 2 })).toEqual([]);
    expect(host.store.about().collisions).toBe(0);
    expect(node.server.framesLost).toBe(0);
  });

  it('writes a gap with its size and times when the ring overflowed while no host was connected', async () => {
    const node = await startNode({ ringBytes: 20_000 });
    const host = startHost([`127.0.0.1:${node.port}`]);
    node.publishSecond(0);
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-1')).toBe(2));
    await host.close();
    for (let i = 1; i < 500; i++) node.publishSecond(i);
    const again = startHost([`127.0.0.1:${node.port}`], host.dataDir);
    await until(() => expect(again.store.intake.storedSeq('engine-room', 'boot-1')).toBe(501));
    const [gap, ...others] = again.store.gaps({ from: 0, to: startAt * 2 });
    expect(others).toEqual([]);
    const rows = again.store.span(all);
    expect(gap).toMatchObject({ reason: 'ring-overflow', fromSeq: 3, fromAt: startAt, toAt: rows[1]?.at });
    expect(gap?.frames).toBe(500 - rows.length);
    expect(gap?.frames).toBe(node.server.framesLost);
    expect(again.live.nodes()[0]?.sequenceGaps).toBe(gap?.frames);
  });

  it('notes that a node started again, and takes its new numbers from 1', async () => {
    const first = await startNode();
    const host = startHost([`127.0.0.1:${first.port}`]);
    first.publishSecond(0);
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-1')).toBe(2));
    await first.server.close();
    const second = await startNode({ boot: 'boot-2', port: first.port });
    second.publishSecond(60);
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-2')).toBe(2));
    expect(host.store.span(all)).toHaveLength(2);
    expect(host.store.gaps({ from: 0, to: startAt * 2 })).toEqual([
      {
        node: 'engine-room',
        boot: 'boot-2',
        reason: 'node-restarted',
        fromAt: startAt,
        toAt: startAt + 60_000,
      },
    ]);
  });

  it('receives from two nodes whose probes share an id, and keeps them apart by name', async () => {
    const fore = await startNode({ node: 'fore' });
    const host = startHost([`127.0.0.1:${fore.port}`]);
    fore.publishSecond(0);
    await until(() => expect(host.store.intake.storedSeq('fore', 'boot-1')).toBe(2));
    await host.close();
    const aft = await startNode({ node: 'aft' });
    const both = startHost([`127.0.0.1:${fore.port}`, `127.0.0.1:${aft.port}`], host.dataDir);
    aft.publishSecond(1);
    await until(() => expect(both.store.intake.storedSeq('aft', 'boot-1')).toBe(2));
    expect(both.store.probes().map((p) => p.name)).toEqual(['port-elbow', 'aft/port-elbow']);
    expect(both.store.span({ ...all, probe: 'aft/port-elbow' })).toEqual([
      reading('port-elbow', startAt + 1000),
    ]);
  });

  it('two nodes with engines of their own are one boat with three, also after a restart of the host', async () => {
    const generator = {
      id: 'generator',
      name: 'Hotel',
      shortName: 'Hotel',
      kind: 'generator',
      alike: [],
    } as const;
    const fore = await startNode({ node: 'fore' });
    const aft = await startNode({ node: 'aft', engines: [generator] });
    const host = startHost([`127.0.0.1:${fore.port}`, `127.0.0.1:${aft.port}`]);
    const running = (node: typeof fore, which: Record<string, boolean>) =>
      node.server.publish({
        kind: 'status',
        at: startAt,
        board: 'connected',
        boardDetail: '',
        running: which,
        counters: { framesLost: 0, boardRefused: 0, boardReconnects: 0, passes: 1 },
      });
    running(fore, { port: true, starboard: false });
    running(aft, { generator: true });
    const ids = ['port', 'starboard', 'generator'];
    await until(() => {
      const { engines } = nowDocument(host.live.nodes(), new Recent(), startAt);
      expect(engines.map(({ id }) => id).sort()).toEqual([...ids].sort());
      expect(engines.find(({ id }) => id === 'generator')).toMatchObject({ nodes: ['aft'], running: true });
      expect(engines.find(({ id }) => id === 'starboard')).toMatchObject({ nodes: ['fore'], running: false });
    });
    await until(() => expect(host.store.engines().length).toBe(3));
    await host.close();
    const again = startHost([], host.dataDir);
    expect(
      again.store
        .engines()
        .map(({ id }) => id)
        .sort(),
    ).toEqual([...ids].sort());
    const recalled = nowDocument(again.live.nodes(), new Recent(), startAt).engines;
    expect(recalled.map(({ id, running }) => [id, running]).sort()).toEqual(
      [...ids].sort().map((id) => [id, undefined]),
    );
  });

  it('receives only from the first of two nodes with the same name, and reports it', async () => {
    const one = await startNode({ boot: 'boot-1' });
    const two = await startNode({ boot: 'boot-2' });
    const both = startHost([`127.0.0.1:${one.port}`, `127.0.0.1:${two.port}`]);
    const speak = setInterval(() => one.publishSecond(Math.round(performance.now())), 200);
    closers.push(() => clearInterval(speak));
    await until(() =>
      expect(both.live.nodes().find((n) => n.node === 'host')?.alerts[0]?.rule).toBe('two-nodes-one-name'),
    );
  });

  it('carries a command to the node and its answer back, and says when there is no node to ask', async () => {
    const asked: unknown[] = [];
    const node = await startNode({}, async (...command: unknown[]) => {
      asked.push(...command);
      return { ok: true, detail: 'acknowledged' };
    });
    const host = startHost([`127.0.0.1:${node.port}`]);
    const command = { do: 'acknowledge', alertId: 'cooling:port' } as const;
    expect(await host.live.command('engine-room', command)).toMatchObject({ ok: false });
    await until(() => expect(host.live.nodes()[0]?.connected).toBe(true));
    expect(await host.live.command('engine-room', command)).toEqual({ ok: true, detail: 'acknowledged' });
    expect(asked).toEqual([command]);
  });

  it('without the secret of the node it shows everything, cannot acknowledge, and says so before anybody tries', async () => {
    const asked: unknown[] = [];
    const node = await startNode({}, async (...command: unknown[]) => {
      asked.push(...command);
      return { ok: true, detail: 'acknowledged' };
    });
    const host = startHost([`127.0.0.1:${node.port}`], undefined, newSecret());
    node.publishSecond(0);
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-1')).toBe(2));
    expect(host.live.own.alerts()).toMatchObject([{ rule: 'link-secret', priority: 'warning' }]);
    const command = { do: 'acknowledge', alertId: 'cooling:port' } as const;
    expect(await host.live.command('engine-room', command)).toMatchObject({
      ok: false,
      detail: expect.stringContaining('link secret'),
    });
    expect(asked).toEqual([]);
  });

  it('shows what was last known, as not connected, before a node sends', async () => {
    const node = await startNode();
    const host = startHost([`127.0.0.1:${node.port}`]);
    const alert: AlertRow = {
      id: 'cooling:port',
      rule: 'high-limit',
      priority: 'alarm',
      state: 'unacknowledged',
      since: startAt,
      message: 'Too hot',
      evidence: { values: {}, thresholds: {} },
      actions: [],
    };
    node.publishSecond(0);
    node.server.publish({ kind: 'alerts', at: startAt + 10, alerts: [alert] });
    await until(() => expect(host.store.intake.storedSeq('engine-room', 'boot-1')).toBe(3));
    await host.close();
    await node.server.close();
    const later = startHost([`127.0.0.1:${node.port}`], host.dataDir);
    expect(later.live.nodes()).toMatchObject([
      {
        node: 'engine-room',
        connected: false,
        boat: 'Invented',
        invented: true,
        probes: [card('port-elbow')],
        latest: [reading('port-elbow', startAt)],
        alerts: [alert],
      },
    ]);
  });
});
