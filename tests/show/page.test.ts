import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { CreekChart, GaugeChart } from '../../src/chart/types.js';
import { plotlySource } from '../../src/show/cli/plotlySource.js';
import { chartPage, PAGE_LIMIT_BYTES } from '../../src/show/page/renderPage.js';
import { fixtureChart } from './fixtureChart.js';

/** Stands for the plot library where only the page around it is looked at. */
const PLOTLY = 'window.Plotly={react(){}};';

function bodyOf(page: string): string {
  const from = page.indexOf('<body>');
  return page.slice(from, page.indexOf('<script type="application/json"'));
}

function scriptsOf(page: string): string[] {
  return [...page.matchAll(/<script>([\s\S]*?)<\/script>/g)].map((match) => match[1]!);
}

function dataOf(page: string): { figures: Record<string, unknown>; levels: Record<string, unknown> } {
  const text = /<script type="application\/json" id="page-data">([\s\S]*?)<\/script>/.exec(page)![1]!;
  return JSON.parse(text) as ReturnType<typeof dataOf>;
}

/** The piece of the page that belongs to one gauge, by its id. */
function sectionOf(page: string, id: string): string {
  const from = page.indexOf(`id="${id}"`);
  const next = page.slice(from).search(/<section class="gauge[ "]|<section class="run"|<section class="source"/);
  return page.slice(from, next < 0 ? undefined : from + next);
}

describe('chartPage', () => {
  const chart = fixtureChart();
  const page = chartPage(chart, { plotly: PLOTLY });

  it('is one file under 3 MB with the real plot library in it', () => {
    const whole = chartPage(chart, { plotly: plotlySource() });
    expect(Buffer.byteLength(whole)).toBeLessThan(PAGE_LIMIT_BYTES);
    expect(scriptsOf(whole)).toHaveLength(2);
    expect(scriptsOf(whole)[0]).toBe(plotlySource());
  });

  it('lets only its own two scripts run and nothing be fetched', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(page)![1]!;
    const hashes = scriptsOf(page).map((script) => `'sha256-${createHash('sha256').update(script).digest('base64')}'`);
    expect(policy).toBe(
      `default-src 'none'; script-src ${hashes.join(' ')}; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'`,
    );
    // The policy stands before anything that it must govern.
    expect(page.indexOf('Content-Security-Policy')).toBeLessThan(page.indexOf('<link'));
    expect(
      page.match(/<(script|img|link|iframe|object|embed|form)\b[^>]*(src|href|action)="(?!data:,")[^"]*"/g),
    ).toBeNull();
    expect(page).not.toMatch(/@import|url\((?!"data:)/);
  });

  it('shows the cautions before the first level, and again on everything that is printed', () => {
    const body = bodyOf(page);
    for (const caution of chart.cautions) {
      expect(body.indexOf(caution)).toBeGreaterThan(0);
      expect(body.indexOf(caution)).toBeLessThan(body.indexOf('class="key"'));
      // Once on top; then on both cards of the two usable gauges, and on the two refusals.
      expect(body.split(caution).length - 1).toBeGreaterThanOrEqual(7);
    }
  });

  it('answers first: how to read, then the staff, then the question, then the figures', () => {
    const section = sectionOf(page, 'r0g0');
    const order = [
      'Take the mean flow of the 24 hours',
      'class="staff"',
      'What does the gauge read?',
      'data-figure="r0g0e-odds"',
      '<summary>',
    ];
    const places = order.map((text) => section.indexOf(text));
    expect(Math.min(...places)).toBeGreaterThan(0);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('gives rounded edges in both units and says which is assumed', () => {
    const section = sectionOf(page, 'r0g0');
    expect(section).toMatch(
      /low \/ good<\/th>\s*<td class="values"><span><b>240<\/b> ft³\/s \(218 to 265\)<\/span><span><b>7\.0<\/b> m³\/s/,
    );
    expect(section).toMatch(/high \/ too high<\/th>[\s\S]{0,200}\*<\/span>/);
    expect(section).toContain('*: assumed, no visit stands on one side of this edge.');
  });

  it('says what it does not know', () => {
    const section = sectionOf(page, 'r0g0');
    expect(section).toMatch(/Not seen above 841 ft³\/s \(23\.8 m³\/s\): the water there is at least/);
    expect(section).toMatch(/Not seen below 136 ft³\/s \(3\.83 m³\/s\)\./);
    expect(section).toContain('Last visit 2031-08-10');
    expect(section).toContain('18 % of the readings are not approved by the agency.');
  });

  it('shows both ways of reading and what the simple one loses', () => {
    const section = sectionOf(page, 'r0g0');
    expect(section).toContain('Effective reading<small>takes away 66 % of the guesswork</small>');
    expect(section).toContain('One reading<small>takes away 52 % of the guesswork</small>');
    expect(section).toContain('What one reading would lose');
    expect(section).toContain('One reading loses 0.14 of the skill');
  });

  it('asks for two readings where the effective reading needs the change', () => {
    expect(sectionOf(page, 'r0g0')).not.toContain('name="before"');
    expect(sectionOf(page, 'r0g1')).toContain('name="before"');
  });

  it('refuses a gauge that is no use: no card, no question, in words', () => {
    for (const [id, grade] of [
      ['r0g2', 'no usable relation'],
      ['r1g0', 'too thin'],
    ] as const) {
      const section = sectionOf(page, id);
      expect(section).toContain(`<b>Not for use: ${grade}.</b>`);
      expect(section).not.toContain('class="key"');
      expect(section).not.toContain('data-now');
      expect(section).not.toContain('What does the gauge read?');
      expect(section).not.toContain('Edges for looking back');
    }
    expect(Object.keys(dataOf(page).levels)).toEqual(['r0g0e', 'r0g0o', 'r0g1e', 'r0g1o']);
    expect(bodyOf(page)).toContain('not for use: no usable relation');
  });

  it('keeps the odds as a table whose rows sum to 100', () => {
    const section = sectionOf(page, 'r0g0');
    const table = /<summary>Odds as a table<\/summary>([\s\S]*?)<\/table>/.exec(section)![1]!;
    const rows = [...table.matchAll(/<tr>\s*<th scope="row"[^>]*>([^<]+)<\/th>([\s\S]*?)<\/tr>/g)];
    expect(rows.length).toBeGreaterThan(12);
    for (const [, , cells] of rows) {
      const numbers = [...cells!.matchAll(/<td[^>]*>([^<]*)<\/td>/g)].map((match) => Number(match[1]));
      expect(numbers.slice(1).reduce((sum, p) => sum + p, 0)).toBe(100);
    }
  });

  it('repeats what the result was made of', () => {
    expect(page).toContain(`visits.csv: 18231 bytes, SHA-256 ${'b'.repeat(64)}`);
    expect(page).toContain('sightstage 0.1.0, seed 7');
    expect(page).toContain('3 rows: class-unknown');
  });

  it('makes the same bytes twice', () => {
    expect(chartPage(fixtureChart(), { plotly: PLOTLY })).toBe(page);
  });

  it('refuses a plot library that would end its own script element', () => {
    const words = new RangeError(
      'chartPage: the plot library holds </script or <!--, which would end its script element',
    );
    expect(() => chartPage(chart, { plotly: 'x="</SCRIPT>"' })).toThrow(words);
    expect(() => chartPage(chart, { plotly: 'x="<!--"' })).toThrow(words);
  });
});

describe('chartPage with hostile names', () => {
  const evil = `</script><script>alert(1)</script><img src=x onerror="alert(2)">'"\`<!--\u2028\u202e`;
  const clean = fixtureChart({ creekName: evil, runName: evil, gaugeName: evil, observer: evil });
  const run = clean.runs[0]!;
  const chart: CreekChart = {
    ...clean,
    creek: { name: evil, timeZone: 'Europe/Vienna' },
    runs: [
      {
        ...run,
        verdictFrom: evil,
        features: [{ id: evil, name: evil, classes: [evil], looks: { [evil]: evil } }],
        gauges: run.gauges.map((gauge) => ({
          ...gauge,
          gauge: { ...gauge.gauge, id: evil },
          oneReadingLoses: evil,
          trust: { ...gauge.trust, reasons: [evil] },
        })),
      },
    ],
    notUsed: [{ code: evil, rows: 1 }],
    provenance: { ...clean.provenance, files: [{ name: evil, sha256: evil, bytes: 1 }], options: { [evil]: evil } },
  };
  const page = chartPage(chart, { plotly: PLOTLY });

  it('writes them as text only', () => {
    expect(page.match(/<script/g)).toHaveLength(3);
    expect(page.match(/<\/script>/g)).toHaveLength(3);
    expect(page).not.toMatch(/<img|<!--|[\u2028\u202e]/);
    expect(bodyOf(page)).toContain('&lt;/script&gt;&lt;script&gt;alert(1)');
    expect(/<title>([^<]*)<\/title>/.exec(page)![1]).toContain('&lt;img');
  });

  it('makes no id, class or attribute of them', () => {
    for (const [, value] of bodyOf(page).matchAll(/\s(?:id|class|href|data-[a-z]+|for|aria-controls)="([^"]*)"/g))
      expect(value).toMatch(/^[\w# .-]*$/);
  });
});

describe('chartPage of unusual creeks', () => {
  const one = (gauge: GaugeChart): CreekChart => {
    const chart = fixtureChart();
    return { ...chart, runs: [{ ...chart.runs[0]!, gauges: [gauge] }] };
  };
  const whole = fixtureChart().runs[0]!.gauges[0]!;

  it('holds without runs and without gauges', () => {
    const chart = fixtureChart();
    expect(bodyOf(chartPage({ ...chart, runs: [] }, { plotly: PLOTLY }))).toContain('Before anyone goes');
    const bare = chartPage({ ...chart, runs: [{ ...chart.runs[0]!, gauges: [] }] }, { plotly: PLOTLY });
    expect(bare).toContain('No gauge could be read for this run.');
  });

  it('does not recommend what was not fitted, whatever the grade says', () => {
    const rest = { ...whole, effective: undefined, oneReading: undefined };
    const page = chartPage(one(rest as unknown as GaugeChart), { plotly: PLOTLY });
    expect(page).toContain('Not for use: fair guide.');
    expect(page).not.toContain('class="key"');
  });

  it.each([2, 9])('draws %i classes', (K) => {
    const classes = Array.from({ length: K }, (_, k) => `level ${k + 1}`);
    const cuts = Array.from({ length: K - 1 }, (_, k) => 140 * 1.3 ** k);
    const page = chartPage(fixtureChart({ classes, cuts }), { plotly: PLOTLY });
    for (let k = 0; k < K; k++) expect(page).toContain(`.lv-${K}-${k}{`);
    expect(page.split('data-class=').length - 1).toBe(4 * K);
  });

  it('stays under 3 MB with many runs and gauges by leaving drawings out, never the odds', () => {
    const chart = fixtureChart();
    const record = (g: number) => ({
      timesMs: Array.from({ length: 4000 }, (_, i) => 1.9e12 + i * 3.6e6),
      values: Array.from({ length: 4000 }, (_, i) => 100 + g + Math.sin(i) * 50 + i * 0.01234),
    });
    const manyRuns = (runs: number, gauges: number): CreekChart => ({
      ...chart,
      runs: Array.from({ length: runs }, (_, r) => ({
        ...chart.runs[0]!,
        id: `run${r}`,
        gauges: Array.from({ length: gauges }, (_g, g) => ({
          ...whole,
          gauge: { ...whole.gauge, id: `g${g}` },
          hydrograph: record(g),
        })),
      })),
    });
    const plotly = ' '.repeat(1_560_000);
    const roomy = chartPage(manyRuns(4, 6), { plotly });
    expect(Buffer.byteLength(roomy)).toBeLessThan(PAGE_LIMIT_BYTES);
    expect(Object.keys(dataOf(roomy).levels)).toHaveLength(4 * 6 * 2);
    expect(Object.keys(dataOf(roomy).figures).length).toBeGreaterThan(0);
    // No toContain on megabytes: a difference of them takes minutes to print.
    expect(roomy.includes('Some of this gauge is left out to keep the page small; it is in chart.json.')).toBe(true);
    expect(roomy.split('Odds as a table').length - 1).toBe(4 * 6 * 2);

    const crowded = chartPage(manyRuns(8, 6), { plotly });
    expect(Buffer.byteLength(crowded)).toBeLessThan(PAGE_LIMIT_BYTES);
    expect(Object.keys(dataOf(crowded).levels)).toHaveLength(8 * 3 * 2);
    expect(crowded.split('3 more gauges left out to keep the page small; see chart.json.').length - 1).toBe(8);
    expect(crowded.split('Odds as a table').length - 1).toBe(8 * 3 * 2);
  });
});
