import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { stableJson } from '../src/show/write/stableJson.js';
import { tallyLooks } from './simulateNextLook/tallyLooks.js';
import { roundAll } from './validate/roundAll.js';

/*
 * Do the edges narrow faster when people look where the advice says: npm run simulate:next-look [-- --creeks 300 --out validation/next-look.json]
 * A few minutes on one core; same creeks, same bytes.
 */
const { values } = parseArgs({
  options: {
    creeks: { type: 'string', default: '300' },
    out: { type: 'string', default: 'validation/next-look.json' },
  },
});
const creeks = Number(values.creeks);
if (!Number.isInteger(creeks) || !(creeks > 0))
  throw new RangeError(`simulateNextLook: --creeks must be a positive whole number, got ${values.creeks}`);
const tally = tallyLooks(creeks, {
  firstSeed: 1001,
  onCreek: (done) => {
    if (done % 20 === 0) console.error(`${done} of ${creeks} creeks`);
  },
});
const summary = {
  what: 'Invented creeks with 20 visits as people make them, then 10 more: by the first look advised (fitted anew after every 2), at random times of the record, or as people go (the more water the likelier). 80 % intervals of the two edges of good, ln scale',
  command: `npm run simulate:next-look -- --creeks ${creeks}`,
  ...tally,
};
writeFileSync(values.out, stableJson(roundAll(summary)));
console.log(JSON.stringify(summary));
