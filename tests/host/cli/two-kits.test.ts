import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { UsageError } from '../../../host/cli/exit.js';
import { refuseOneName } from '../../../host/cli/watch-command.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-two-kits-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const kit = (file: string, node: string): string => {
  const path = join(folder, file);
  writeFileSync(
    path,
    `kit: 1
boat: { name: Two Sisters, invented: true }
node: ${node}
board: { connection: auto }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }
probes:
  - { id: sea, name: Sea, place: sea-water, channel: { kind: mcp960x, address: 0x60 } }
`,
  );
  return path;
};

it('two kits of one node name are refused; two names are not', () => {
  const fore = kit('fore.yaml', 'fore');
  expect(() => refuseOneName([fore, kit('same.yaml', 'fore')])).toThrow(UsageError);
  expect(() => refuseOneName([fore, kit('aft.yaml', 'aft')])).not.toThrow();
});

it('a kit that a power cut spoilt does not keep the other board unguarded', () => {
  const spoilt = join(folder, 'spoilt.yaml');
  writeFileSync(spoilt, 'kit: 1\nboat: {');
  expect(() => refuseOneName([kit('fore.yaml', 'fore'), spoilt])).not.toThrow();
});
