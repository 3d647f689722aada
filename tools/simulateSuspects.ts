import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { tallySuspects } from './suspects/tallySuspects.js';

/* Are wrong times in the list of suspects, and sound ones not: npx tsx tools/simulateSuspects.ts [--logs 60] [--out validation/suspects.json] */
const { values } = parseArgs({
  options: { logs: { type: 'string', default: '60' }, out: { type: 'string', default: 'validation/suspects.json' } },
});
const logs = Number(values.logs);
if (!Number.isInteger(logs) || !(logs > 0))
  throw new RangeError(`simulateSuspects: --logs must be a positive whole number, got ${values.logs}`);
const tally = tallySuspects(logs, { firstSeed: 1001, wrong: 0.05 });
const summary = {
  what: 'Simulated logs of 80 visits, 5 % of them written down 12 or 24 hours off; verdict and one feature of five classes',
  command: `npx tsx tools/simulateSuspects.ts --logs ${logs}`,
  ...tally,
};
writeFileSync(values.out, `${JSON.stringify(summary, null, 2)}\n`);
console.log(JSON.stringify(summary));
