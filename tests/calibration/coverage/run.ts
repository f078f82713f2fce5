/** `npm run coverage:calibration [count] [seed]`: the whole what-if table, 2,000 calibrations a row by default. */
import { whatIf } from './conditions.js';
import { coverageOf } from './coverage.js';

const count = Number(process.argv[2] ?? 2_000);
const seed = Number(process.argv[3] ?? 2026);
console.log(
  `${count} calibrations a row, seed ${seed}: share of stated 95 % intervals that hold (expanded uncertainty, C)\n`,
);
for (const probe of ['thermistor', 'thermocouple'] as const) {
  const of = whatIf.filter((row) => row.probe === probe);
  let heading = true;
  for (const { what, twist, promise } of of) {
    const { rows, refused } = coverageOf(probe, twist, count, seed);
    if (heading) {
      console.log(
        `| ${probe}, in ice and boiling water | ${rows.map((r) => `${r.temperatureC} °C`).join(' | ')} | refused | verdict |`,
      );
      console.log(`|${' --- |'.repeat(rows.length + 3)}`);
      heading = false;
    }
    const least = Math.min(...rows.map((r) => r.held));
    const verdict =
      least >= 0.93 ? 'held' : least >= 0.9 ? 'degraded' : promise > 0 ? 'BROKEN, and promised' : 'broken';
    console.log(
      `| ${what} | ${rows.map((r) => `${(100 * r.held).toFixed(1)} % (±${r.meanExpandedC.toFixed(2)})`).join(' | ')} | ${(100 * refused).toFixed(1)} % | ${verdict} |`,
    );
  }
  console.log('');
}
