import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { buildInverseCells } from '../../../calibration/thermocouple/inverse-cells.js';
import { ReferenceFunction } from '../../../calibration/thermocouple/reference-function.js';

/** Nanoseconds of one conversion in C: over an array, and one at a time with its checks. */
export type TwinSpeed = { readonly mapNs: number; readonly oneNs: number };

/** Compiles the C twin with gcc and runs it on the same cells and values; undefined where there is no gcc. */
export function speedInC(emfMicrovolts: Float64Array, rounds: number): TwinSpeed | undefined {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-twin-'));
  try {
    const source = resolve('tests/calibration/speed/twin.c');
    const program = join(folder, 'twin');
    const compiled = spawnSync('gcc', ['-O2', '-o', program, source, '-lm'], { encoding: 'utf8' });
    if (compiled.error) return undefined;
    if (compiled.status !== 0) throw new Error(`gcc refused the twin: ${compiled.stderr}`);
    const reference = new ReferenceFunction('K');
    const { firstMicrovolts, cellsPerMicrovolt, c0, c1, c2, c3 } = buildInverseCells(reference);
    const coefficients = Float64Array.from({ length: 4 * c0.length }, (_, i) =>
      Number([c0, c1, c2, c3][i % 4]?.[Math.floor(i / 4)]),
    );
    const head = Float64Array.of(
      firstMicrovolts,
      cellsPerMicrovolt,
      reference.minMicrovolts,
      reference.maxMicrovolts,
      coefficients.length / 4,
      emfMicrovolts.length,
      rounds,
    );
    const input = Buffer.concat([head, coefficients, emfMicrovolts].map((part) => Buffer.from(part.buffer)));
    const ran = spawnSync(program, { input, encoding: 'utf8' });
    if (ran.status !== 0) throw new Error(`the C twin ended with ${ran.status}`);
    return JSON.parse(ran.stdout) as TwinSpeed;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
