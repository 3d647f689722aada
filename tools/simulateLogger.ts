import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { stableJson } from '../src/show/write/stableJson.js';
import { tallyLogger } from './simulateLogger/tallyLogger.js';
import { roundAll } from './validate/roundAll.js';

/*
 * What five weeks of a logger are worth to a chart of 25 visits, and what a logger does whose weeks were not like the visits':
 * npx tsx tools/simulateLogger.ts [--creeks 80] [--out validation/logger.json]
 * Some minutes on one core; same creeks, same bytes.
 */
const { values } = parseArgs({
  options: { creeks: { type: 'string', default: '80' }, out: { type: 'string', default: 'validation/logger.json' } },
});
const creeks = Number(values.creeks);
if (!Number.isInteger(creeks) || !(creeks > 0))
  throw new RangeError(`simulateLogger: --creeks must be a positive whole number, got ${values.creeks}`);
const visits = 25;
const charts = tallyLogger(creeks, {
  visits,
  firstSeed: 7001,
  onCreek: (done) => {
    if (done % 10 === 0) console.error(`${done} of ${creeks} creeks`);
  },
});
const summary = {
  what: 'Simulated creeks (lag 0 to 8 h, storage -12 to 18 h) with 25 visits, charted by the visits alone, with five weeks of a logger 1.5 km down the run, and with a logger whose weeks ran 3 h later than the visits',
  command: `npx tsx tools/simulateLogger.ts${creeks === 80 ? '' : ` --creeks ${creeks}`}`,
  visits,
  charts,
};
writeFileSync(values.out, stableJson(roundAll(summary)));
console.log(JSON.stringify(summary));
