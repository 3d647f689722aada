import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import type { CreekChart } from '../../../src/chart/types.js';
import { nowFolder } from '../../../src/show/cli/nowFolder.js';
import { loadCreekFolder } from '../../../src/show/creekFolder.js';
import { terminalText } from '../../../src/show/text/terminalText.js';
import { creekSlug } from '../../../src/show/write/creekSlug.js';
import { odds } from '../../../src/series/format.js';
import { nowDocument } from '../../../src/tell/nowDocument.js';
import { texts } from '../../../src/tell/table.js';
import { frozenSample } from '../frozenSample.js';

const sample = fileURLToPath(new URL('../../../data-sample', import.meta.url));
const out = mkdtempSync(join(tmpdir(), 'sightstage-now-'));
afterAll(() => rmSync(out, { recursive: true, force: true }));

/** The frozen chart, as if it had been made from the sample as it is. */
const { files } = loadCreekFolder(sample);
const frozen = frozenSample().chart;
const chart: CreekChart = { ...frozen, provenance: { ...frozen.provenance, files } };
const folder = join(out, creekSlug(chart.creek.name));
mkdirSync(folder);
writeFileSync(join(folder, 'chart.json'), JSON.stringify(chart));

const presentMs = Date.UTC(2024, 4, 4, 16);
const now = (options: Partial<Parameters<typeof nowFolder>[1]> = {}) =>
  nowFolder(sample, { out, presentMs, ...options });
const run = chart.runs[0]!;
const gauge = run.gauges.find((one) => one.gauge.id === run.recommended)!;

describe('sightstage now', () => {
  it('gives each run the odds that its chart has for the reading of that hour', () => {
    const { runs } = now({ arrive: '2024-05-04T10:00' });
    expect(runs.map((one) => one.run.id)).toEqual(chart.runs.map(({ id }) => id));
    for (const one of runs) {
      expect(one.now!.carriedHours).toBe(0);
      expect(one.now!.odds!.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
      expect(one.now!.askedMs).toBe(Date.UTC(2024, 4, 4, 16) - one.gauge!.level!.reading.lagHours * 3_600_000);
    }
    // The creek's clock is six hours behind UTC in summer.
    expect(now({ arrive: '2024-05-04T16:00Z' })).toEqual(now({ arrive: '2024-05-04T10:00' }));
    expect(now()).toEqual(now({ arrive: '2024-05-04T10:00' }));
  });

  it('takes a reading by hand for the newest one, and says plainly when nobody has seen such water', () => {
    if (gauge.gauge.parts !== undefined) throw new Error('the frozen sample recommends a plain gauge');
    const asked = presentMs - gauge.level!.reading.lagHours * 3_600_000;
    const at = new Date(asked).toISOString();
    const high = now({ readings: [`${gauge.gauge.id}=${100 * gauge.level!.seen.to}@${at}`], runs: [run.id] });
    expect(high.runs[0]!.now!.why).toBe('not-seen');
    const said = terminalText(nowDocument(high, high), { width: 80 });
    expect(said).toContain('No chart for this reading: it lies above the highest visit.');
    expect(said).toContain('Moving water kills.');
    expect(said.split('\n').every((line) => line.length <= 80)).toBe(true);
  });

  it('says what it stands on: gauge, grade, age and limb of the reading, odds with intervals, the season', () => {
    const found = now({ arrive: '2024-05-04T10:00', runs: [run.id] });
    const said = terminalText(nowDocument(found, found), { width: 80 }).replace(/\s+/g, ' ');
    expect(said).toContain(`${gauge.gauge.name} (${gauge.trust.grade})`);
    expect(said).toMatch(/before you arrive, (rising|steady|falling)( \(|\.)/);
    for (const word of run.classes) expect(said).toContain(word);
    expect(said).toMatch(/Good on about \d+ days a year \(\d+ to \d+\), mostly [A-Z]/);
  });

  it('has one table of all runs, each with its gauge and the odds of less, good and more, or why there are none', () => {
    const [upper, lower] = chart.runs;
    const found = now({ arrive: '2024-05-04T10:00', readings: [`${gauge.gauge.id}=100000@2024-05-04T09:00`] });
    const body = nowDocument(found, found).body;
    const [all] = body.flatMap((block) => (block.kind === 'table' ? [texts(block.table)] : []));
    expect(all!.caption).toBe('All runs');
    expect(all!.rows.map(([run]) => run)).toEqual([upper!.name, lower!.name]);
    found.runs.forEach(({ now: said }, r) => {
      const [, , ...cells] = all!.rows[r]!;
      if (said!.odds === null) expect(cells.join(' ')).toMatch(/^ *no chart: /);
      else {
        const good = run.classes.indexOf('good');
        expect(cells[1]).toBe(odds(said!.odds[good]!));
        expect(cells[2]).toBe(odds(said!.odds.slice(good + 1).reduce((a, b) => a + b, 0)));
      }
    });
    const alone = now({ arrive: '2024-05-04T10:00', runs: ['upper'] });
    expect(terminalText(nowDocument(alone, alone))).not.toContain('All runs');
  });

  it('says what a reading that is off by a tenth would change, how fast the water rises, and follows the office’s forecast', () => {
    const found = now({ arrive: '2024-05-04T18:00', runs: ['upper'] });
    const said = terminalText(nowDocument(found, found), { width: 80 }).replace(/\s+/g, ' ');
    expect(said).toContain('if 10 % lower if 10 % higher');
    expect(said).toMatch(/(rising|falling) \([+−]\d+ % in three hours\)/);
    if (gauge.gauge.id !== 'flashy') throw new Error('the frozen sample recommends the brook, which has forecasts');
    expect(said).toMatch(/Up to \d+ h ahead it follows the official forecast of 2024-05-04 07:00/);
    expect(said).toMatch(/After 24 h the gauge was −\d+ % to \+\d+ % off such a forecast \(80 % of \d+ past ones\)/);
  });

  it('tells the newest reading, though the chart goes by an earlier one, and looks ahead from it', () => {
    const found = now({ arrive: '2024-05-04T10:00', runs: ['upper'] });
    const { now: said, outlook } = found.runs[0]!;
    const lag = found.runs[0]!.gauge!.level!.reading.lagHours;
    expect(lag).toBeGreaterThan(1);
    expect(said!.newest!.timeMs).toBe(presentMs);
    expect(said!.askedMs).toBe(presentMs - lag * 3_600_000);
    expect(outlook!.fromMs).toBe(presentMs + lag * 3_600_000);
    const text = terminalText(nowDocument(found, found), { width: 80 }).replace(/\s+/g, ' ');
    expect(text).toContain('at 2024-05-04 10:00, 0 h before you arrive');
    expect(text).toMatch(/The chart goes by what it works out for 2024-05-04 0\d:\d\d: /);
  });

  it('tells of readings that are too old instead of guessing', () => {
    const late = now({ arrive: '2026-05-04T10:00' });
    expect(late.runs.every((one) => one.now!.why === 'stale' && one.now!.odds === null)).toBe(true);
    expect(terminalText(nowDocument(late, late))).toContain('No chart for this time');
  });

  it.each([
    [{ readings: ['weir=5'] }, "--reading: found 'weir=5', expected <gauge>=<number>"],
    [{ readings: ['flashy=much'] }, "--reading: found 'flashy=much', expected <gauge>=<number>"],
    [{ readings: ['flashy=5@noon'] }, "found 'noon', expected a time such as"],
    [{ arrive: 'tomorrow' }, "found 'tomorrow', expected a time such as"],
    [{ runs: ['gorge'] }, "unknown run 'gorge'; creek.json has upper, lower"],
    [{ out: join(out, 'nowhere') }, 'no chart of'],
  ])('refuses %o', (options, message) => {
    expect(() => now(options)).toThrow(message);
  });
});
