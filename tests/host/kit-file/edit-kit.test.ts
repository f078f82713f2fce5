import { describe, expect, it } from 'vitest';
import { withCertificates, withLimits } from '../../../host/kit-file/edit-kit.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';

const limits = {
  warning: { raiseAtC: 80, clearAtC: 77, holdS: 3 },
  alarm: { raiseAtC: 90, clearAtC: 85, holdS: 1 },
};
const kitOf = (text: string | undefined) => parseKit(text ?? '', 'kit.yaml');
const limitsOf = (text: string | undefined, id: string) =>
  kitOf(text).probes.find((probe) => probe.id === id)?.limits;

describe('a kit file changed by the page', () => {
  it('has new limits for the named probe only, though the two elbows shared theirs by an anchor', () => {
    const before = limitsOf(benchKitYaml, 'port-elbow');
    for (const [changed, other] of [
      ['port-elbow', 'starboard-elbow'],
      ['starboard-elbow', 'port-elbow'],
    ] as const) {
      const text = withLimits(benchKitYaml, changed, limits);
      expect(limitsOf(text, changed)).toEqual(limits);
      expect(limitsOf(text, other)).toEqual(before);
    }
  });

  it("keeps the owner's comments and everything else", () => {
    const text = withLimits(benchKitYaml, 'port-elbow', limits);
    const comments = (of: string) => of.split('\n').filter((l) => l.trim().startsWith('#'));
    expect(comments(text ?? '')).toEqual(comments(benchKitYaml));
    const strip = (kit: ReturnType<typeof kitOf>) => ({
      ...kit,
      probes: kit.probes.map(({ limits: _, ...rest }) => rest),
    });
    expect(strip(kitOf(text))).toEqual(strip(kitOf(benchKitYaml)));
  });

  it('a limit that is removed is gone', () => {
    const text = withLimits(benchKitYaml, 'port-elbow', { alarm: limits.alarm });
    expect(limitsOf(text, 'port-elbow')).toEqual({ alarm: limits.alarm });
  });

  it('an unknown probe changes nothing and says so', () => {
    expect(withLimits(benchKitYaml, 'middle-elbow', limits)).toBeUndefined();
  });

  it('names the certificate of each probe that got one', () => {
    const text = withCertificates(benchKitYaml, { 'sea-water': 'certificates/sea-water@2.json' });
    const certificates = kitOf(text)
      .probes.map(({ id, certificate }) => [id, certificate])
      .filter(([, c]) => c);
    expect(certificates).toEqual([['sea-water', 'certificates/sea-water@2.json']]);
  });
});
