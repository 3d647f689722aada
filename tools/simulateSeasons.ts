import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { stableJson } from '../src/show/write/stableJson.js';
import { tallySeasons } from './simulateSeasons/tallySeasons.js';
import { roundAll } from './validate/roundAll.js';

/*
 * Is a gauge that shares nothing but the seasons ever called usable: npm run simulate:seasons [-- --cases 300 --out validation/seasons.json]
 * Some minutes on one core; same cases, same bytes.
 */
const { values } = parseArgs({
  options: { cases: { type: 'string', default: '300' }, out: { type: 'string', default: 'validation/seasons.json' } },
});
const cases = Number(values.cases);
if (!Number.isInteger(cases) || !(cases > 0))
  throw new RangeError(`simulateSeasons: --cases must be a positive whole number, got ${values.cases}`);
const tally = tallySeasons(cases, {
  firstSeed: 5001,
  onCase: (done) => {
    if (done % 20 === 0) console.error(`${done} of ${cases} cases`);
  },
});
const summary = {
  what: 'Two rivers with one season (snowmelt or monsoon, 1.2 ln units) and their own weather; 25 to 80 visits in one to four years, graded by the better of both ways of reading',
  command: `npm run simulate:seasons -- --cases ${cases}`,
  ...tally,
};
writeFileSync(values.out, stableJson(roundAll(summary)));
console.log(JSON.stringify(summary));
