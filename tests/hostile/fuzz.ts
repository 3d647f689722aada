/** Long runs of the readers' properties: `npm run fuzz -- [runs of each] [seed]`; default 20,000 and 1. Prints what it did; ends with 1 where one fails. */
import fc from 'fast-check';
import { PROPERTIES } from './fuzzReaders.js';

const runs = Number(process.argv[2] ?? 20_000);
const seed = Number(process.argv[3] ?? 1);
if (!(Number.isInteger(runs) && runs > 0 && Number.isInteger(seed)))
  throw new RangeError('fuzz: [runs above 0] [seed], whole numbers');

let failed = 0;
for (const { name, property } of PROPERTIES) {
  const from = performance.now();
  const details = fc.check(property() as fc.IProperty<[unknown]>, { seed, numRuns: runs });
  const seconds = ((performance.now() - from) / 1000).toFixed(1);
  if (!details.failed) {
    process.stdout.write(`${name}: ${details.numRuns} inputs in ${seconds} s, all as they must\n`);
    continue;
  }
  failed++;
  process.stdout.write(`${name}: FAILED after ${details.numRuns} inputs\n${fc.defaultReportMessage(details) ?? ''}\n`);
}
process.stdout.write(`${PROPERTIES.length} properties, ${failed} failed; ${runs} inputs each, seed ${seed}\n`);
process.exitCode = failed > 0 ? 1 : 0;
