import { writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { parseArgs } from 'node:util';
import { loadCreekFolder } from '../src/show/creekFolder.js';
import { stableJson } from '../src/show/write/stableJson.js';
import { alarms, damageRecord } from './plausible/damageRecords.js';

/*
 * False alarms of the plausibility checks on the records of creek folders, and how often injected damage is noticed:
 * npx tsx tools/plausible.ts data-sample <folder>… [--places 5] [--out validation/plausible.json]. Records come without what a check refused when they were read.
 */
const { values: options, positionals } = parseArgs({
  allowPositionals: true,
  options: { places: { type: 'string', default: '5' }, out: { type: 'string', default: 'validation/plausible.json' } },
});
const places = Number(options.places);
const found = new Map<string, { places: number; found: number }>();
const records = positionals.flatMap((folder, f) =>
  loadCreekFolder(folder).records.map((record, r) => {
    for (const row of damageRecord(record, { places, seed: 100 * f + r + 1 })) {
      const sum = found.get(row.damage) ?? { places: 0, found: 0 };
      found.set(row.damage, { places: sum.places + row.places, found: sum.found + row.found });
    }
    const jumpsWhenRead = record.jumps?.length ?? 0;
    console.error(`${folder} ${record.gauge}`);
    return {
      folder: basename(folder),
      gauge: record.gauge,
      parameter: record.parameter,
      jumpsWhenRead,
      ...alarms(record),
    };
  }),
);
const damage = [...found].map(([name, counts]) => ({ damage: name, ...counts }));
writeFileSync(options.out, stableJson({ command: 'npx tsx tools/plausible.ts <folders>', records, damage }));
console.table(damage);
console.table(records);
