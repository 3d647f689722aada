import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import type { GaugeWorld } from './gauges/gaugeWorld.js';
import { tallyGauges, type GaugeTally } from './gauges/tallyGauges.js';

/*
 * Whether the right gauge is found among ten that only share its seasons, and whether the stated skill of the choice is honest:
 * npm run simulate:gauges [-- --worlds 200] [--out validation/gauges.json]. A quarter of an hour on one core; same worlds, same bytes.
 */
const { values } = parseArgs({
  options: { worlds: { type: 'string', default: '200' }, out: { type: 'string', default: 'validation/gauges.json' } },
});
const worlds = Number(values.worlds);
if (!Number.isInteger(worlds) || !(worlds > 0))
  throw new RangeError(`simulateGauges: --worlds must be a positive whole number, got ${values.worlds}`);

const plans: readonly (Omit<GaugeWorld, 'seed'> & { readonly combine: number; readonly share: number })[] = [
  { kind: 'right', visits: 40, noise: 10, combine: 2, share: 1 },
  { kind: 'right', visits: 20, noise: 10, combine: 0, share: 1 },
  { kind: 'none', visits: 40, noise: 11, combine: 3, share: 0.3 },
  { kind: 'two', visits: 40, noise: 3, combine: 3, share: 0.3 },
];
const rows: (Omit<GaugeWorld, 'seed'> & { readonly combine: number } & GaugeTally)[] = [];
plans.forEach(({ share, combine, ...world }, p) => {
  const tally = tallyGauges(world, {
    worlds: Math.ceil(worlds * share),
    firstSeed: 1 + 100_000 * p,
    combine,
    onWorld: (done) => {
      if (done % 50 === 0) console.log(`plan ${p + 1} of ${plans.length}: ${done} worlds`);
    },
  });
  rows.push({ ...world, combine, ...tally });
  console.log(JSON.stringify(rows[p]));
});
const summary = {
  what: 'Invented creeks of 900 days, mismatch 0.3, blur 0.12, one verdict of five classes a visit; noise gauges share the seasons and have weather of their own; ranked by rankGauges at lead 0 with 150 draws',
  command: `npm run simulate:gauges -- --worlds ${worlds}`,
  plans: rows,
};
writeFileSync(values.out, `${JSON.stringify(summary, null, 2)}\n`);
