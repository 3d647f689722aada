import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { stableJson } from '../src/show/write/stableJson.js';
import { tallyGrades } from './simulateGrade/tallyGrades.js';
import { roundAll } from './validate/roundAll.js';

/*
 * How often does a grade get better when visits are taken away: npx tsx tools/simulateGrade.ts [--cases 480] [--out validation/grade.json]
 * Some minutes on one core; same cases, same bytes.
 */
const { values } = parseArgs({
  options: { cases: { type: 'string', default: '480' }, out: { type: 'string', default: 'validation/grade.json' } },
});
const cases = Number(values.cases);
if (!Number.isInteger(cases) || !(cases > 0))
  throw new RangeError(`simulateGrade: --cases must be a positive whole number, got ${values.cases}`);
const tally = tallyGrades(cases, {
  firstSeed: 1001,
  onCase: (done) => {
    if (done % 20 === 0) console.error(`${done} of ${cases} cases`);
  },
});
const summary = {
  what: 'Invented worlds (gauges that know the creek well, middling, badly, or share the seasons only), 30 to 100 visits, graded with all visits and with fewer: a third or two thirds at random, the first two thirds in time, two thirds of the floods',
  command: `npx tsx tools/simulateGrade.ts --cases ${cases}`,
  ...tally,
};
writeFileSync(values.out, stableJson(roundAll(summary)));
console.log(JSON.stringify(summary));
