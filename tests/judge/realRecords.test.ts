import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { trustSummary } from '../../src/judge/trustSummary.js';
import { loadCreekFolder } from '../../src/show/creekFolder.js';

/**
 * Visits drawn from real official records (Environment Agency, England; U.S. Geological Survey) that play a creek without a gauge. Not part of the
 * repository; the test runs where they lie beside it.
 */
const FOLDER = fileURLToPath(new URL('../../../shared/real/', import.meta.url));
const here = existsSync(FOLDER);
if (!here) process.stderr.write(`realRecords.test.ts: skipped, as ${FOLDER} is missing\n`);

/** Ids of the gauges, what the grade must be, and the least skill of the effective reading where one is asked for. */
const SETS = [
  { folder: 'a-steep-valley', gauges: ['larger', 'larger-stage'], grades: ['fair guide', 'good guide'], skill: 0.45 },
  { folder: 'b-gauge-leads', gauges: ['steep'], grades: ['fair guide', 'good guide'], skill: 0.45 },
  { folder: 'c-unrelated', gauges: ['mountain', 'south'], grades: ['no usable relation'], skill: -Infinity },
  { folder: 'd-town-streams', gauges: ['next-town'], grades: ['too thin'], skill: -Infinity },
];

describe.skipIf(!here)('grades on real records', () => {
  for (const { folder, gauges, grades, skill } of SETS) {
    it(`${folder}: ${grades.join(' or ')}`, () => {
      const { creek, visits, records } = loadCreekFolder(`${FOLDER}${folder}`);
      const run = creek!.runs[0];
      expect(records.map((r) => r.gauge)).toEqual(gauges);
      for (const record of records) {
        const aligned = alignVisits({ creek: creek!, run, record, visits });
        const { effective, oneReading } = fitLevels(aligned, { modes: ['effective', 'one-reading'], draws: 500 });
        const trust = trustSummary(aligned, { effective, oneReading, approval: record.approval, seed: 1 });
        expect(grades, `${record.gauge}: ${trust.reasons.join(' ')}`).toContain(trust.grade);
        const reached = trust.skill.effective!.againstFrequencies;
        expect(reached).toBeGreaterThan(skill);
        // Where the gauge knows the creek, looking once loses by much, and the calendar explains next to nothing.
        if (skill > 0) {
          expect(reached - trust.skill.oneReading!.againstFrequencies).toBeGreaterThan(0.08);
          expect(trust.skill.effective!.againstMonth).toBeGreaterThan(0.35);
        }
      }
    });
  }
});
