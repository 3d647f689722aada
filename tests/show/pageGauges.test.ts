import { describe, expect, it } from 'vitest';
import type { CreekChart } from '../../src/chart/types.js';
import type { CreekGauges, RunGauges } from '../../src/chart/gauges/types.js';
import type { Figure } from '../../src/chart/figures/figure.js';
import { rankingFigure } from '../../src/chart/figures/rankingFigure.js';
import { staffFigure } from '../../src/chart/figures/staffFigure.js';
import { choicePart } from '../../src/show/page/gauges/choicePart.js';
import { thriftyGauges, wholeGauges, type GaugesContent } from '../../src/show/page/gauges/gaugesContent.js';
import { otherPart } from '../../src/show/page/gauges/otherPart.js';
import { THRIFT } from '../../src/show/page/pageFigures.js';
import { panelsOf } from '../../src/show/page/panel.js';
import { chartPage, PAGE_LIMIT_BYTES } from '../../src/show/page/renderPage.js';
import { fixtureChart } from './fixtureChart.js';
import { fixtureGauges, type FixtureChoice } from './fixtureGauges.js';
import { fixtureTrust } from './fixtureTrust.js';

const PLOTLY = 'window.Plotly={react(){}};';
const whole = fixtureChart();
/** Short records: what is tested stands beside them. */
const chart: CreekChart = {
  ...whole,
  runs: whole.runs.map((run) => ({
    ...run,
    gauges: run.gauges.map((one) => ({
      ...one,
      hydrograph: { timesMs: one.hydrograph.timesMs.slice(0, 9), values: one.hydrograph.values.slice(0, 9) },
    })),
  })),
};
const pageOf = (gauges?: CreekGauges) => chartPage(chart, { plotly: PLOTLY, ...(gauges && { gauges }) });

/** One run and one gauge of it. */
const small = { ...chart, runs: chart.runs.slice(0, 1).map((run) => ({ ...run, gauges: run.gauges.slice(0, 1) })) };

function contentOf(gauges: CreekGauges, of: CreekChart = chart, at = 0): GaugesContent {
  const run = of.runs[at]!;
  const own = gauges.runs[at]!;
  const panels = panelsOf(of, run, { runIndex: at, gauges: own });
  return wholeGauges({ id: `r${at}`, run, gauges: own, panels, timeZone: of.creek.timeZone });
}

/** Both parts of a run as they stand on the page, without the page. */
function partsOf(gauges: CreekGauges, of: CreekChart = chart, at = 0): { which: string; other: string } {
  const content = contentOf(gauges, of, at);
  return { which: choicePart(content, of.cautions).html, other: otherPart(content, of.cautions)?.html ?? '' };
}
const chosenParts = (chosen: FixtureChoice, at = 0) => partsOf(fixtureGauges({ chosen }), chart, at);

function bodyOf(page: string): string {
  return page.slice(page.indexOf('<body>'), page.indexOf('<script type="application/json"'));
}

const plain = (text: string) => text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ');

/** The folded piece of a title, everything in it. */
function pieceOf(part: string, title: string, nth = 0): string {
  const piece = part.split(`<span class="what">${title}</span>`)[nth + 1];
  expect(piece, title).toBeDefined();
  return piece!.slice(0, piece!.indexOf('</details>'));
}

function figureIds(page: string): string[] {
  const data = JSON.parse(/id="page-data">([\s\S]*?)<\/script>/.exec(page)![1]!) as { figures: object };
  return Object.keys(data.figures);
}

const ofGauges = (page: string) => figureIds(page).filter((id) => /^r\d+-/.test(id));

/** One run of the fixture with a part exchanged. */
function changed(change: Partial<RunGauges>, chosen: FixtureChoice = 'single'): CreekGauges {
  const gauges = fixtureGauges({ chosen });
  return { ...gauges, runs: [{ ...gauges.runs[0]!, ...change }, ...gauges.runs.slice(1)] };
}

const ranking = fixtureGauges().runs[0]!.ranking!;
const single = pageOf(fixtureGauges({ chosen: 'single' }));

describe('the part "Which gauge to read"', () => {
  const part = chosenParts('combined').which;

  it('is nowhere without gauges.json, nor for a run that it does not know', () => {
    const without = pageOf();
    expect(without).not.toMatch(/class="(which|else)"/);
    expect(ofGauges(without)).toEqual([]);
    const { runs, ...rest } = fixtureGauges();
    const one = bodyOf(pageOf({ ...rest, runs: runs.slice(1) }));
    expect(one.match(/class="which"/g)).toHaveLength(1);
    expect(one).toContain('aria-labelledby="r1-which"');
  });

  it('gives the choice and the caution before the tabs and before anything is unfolded', () => {
    const body = bodyOf(single);
    const words = plain(body.slice(body.indexOf('id="r0-which"'), body.indexOf('data-tabs')));
    const order = [
      'Which gauge to read',
      'Read Ombrel River at Low Bridge',
      'The simplest of those that nothing clearly beats. Choosing among 5 candidates like this has a skill of 0.61 (0.49 to 0.70)',
      'Its chart stands first below. All were read 2 h before going.',
      chart.cautions[0]!,
      'All gauges in order',
    ];
    const at = order.map((text) => words.indexOf(text));
    expect(
      at.every((place, i) => place > (at[i - 1] ?? -1)),
      JSON.stringify(at),
    ).toBe(true);
  });

  it('says how to read several gauges together, with the edges rounded to the safer side and the cautions', () => {
    const card = part.slice(part.indexOf('class="key combined"'), part.indexOf('</article>'));
    const words = plain(card);
    expect(words).toContain('How to read them Take the mean flow of Ombrel River at Low Bridge');
    expect(words).toContain('Garn Brook at the mill 0.38');
    // Edges 140, 240, 420 and 640 ft³/s; the uppermost is rounded down and stands on one side only.
    expect(words).toContain('too low | low 140 4.0 122 to 160 114 to 172');
    expect(words).toContain('high | too high 600 18 559 to 732 521 to 786 assumed');
    for (const caution of chart.cautions) expect(words).toContain(caution);
    expect(words).toContain('this mean has none');
    expect(card).not.toContain('class="heed"');
    expect(single).not.toContain('class="key combined"');
  });

  it('warns of a mean of gauges of which none is for use alone', () => {
    const { combined } = fixtureGauges().runs[0]!;
    const caution = 'None of these gauges is for use by itself. Not for going.';
    const useless = changed({ combined: { ...combined!, aloneUsable: false, caution } }, 'combined');
    const { which } = partsOf(useless);
    expect(which).toContain(
      `<p class="heed">Visits have met means from 60.0 to 900 ft³/s (1.70 to 25.4 m³/s): not seen above and below. ${caution}</p>`,
    );
    expect(which.indexOf(caution)).toBeLessThan(which.indexOf('Edges on the mean'));
  });

  it('has every candidate with numbers and a reason, those that only confirm apart, and who stands aside', () => {
    const piece = plain(pieceOf(part, 'All gauges in order'));
    const warning = piece.slice(piece.indexOf('Read 2 h before going'), piece.lastIndexOf('Only confirm afterwards,'));
    for (const { rank, name, reason } of ranking.warning) {
      expect(warning).toContain(`${rank}. ${name}`);
      expect(warning).toContain(plain(reason.replace(/(\d) %/g, '$1 %')));
    }
    expect(warning).toContain('4. Garn Brook at the mill 10 % −7 to 27 1 % 2 −8');
    const confirming = piece.slice(piece.lastIndexOf('Only confirm afterwards,'), piece.indexOf('Stand aside'));
    // The only one of its list: how often it is the best of it says nothing.
    expect(confirming).toContain('1. Vessin below the dam 58 % 46 to 70 −5 0');
    expect(confirming).not.toContain('Best in');
    expect(warning).toContain('Best in');
    expect(confirming).toContain('it confirms afterwards and is nothing to plan with');
    expect(warning).not.toContain('Vessin below the dam');
    expect(piece).toContain('Tarn outlet : Its record covers 21 of 72 visits; at least 60 % are needed.');
    expect(piece).toContain('1. with Garn Brook at the mill 0.38 2 −8');
    expect(piece).toContain('Better than 1. than 2. than 3. than 4. 1. · 86 % 89 % 98 % 2. 14 % · 66 % 96 %');
    // Above a fifth of its score in floods whose weights are not dependable.
    expect(piece).toMatch(/Scores to doubt, [^:]*: Garn Brook at the mill \(31 %\)\./);
    expect(piece).toContain('64 visits in 17 floods');
  });

  it('names a fit that is not sound, and says so where nothing can be read before going', () => {
    const late = {
      ...ranking,
      warning: [],
      beats: [],
      confirming: [{ ...ranking.confirming[0]!, status: 'separated' as const }],
      aside: [],
      leadHours: 0,
    };
    const piece = plain(pieceOf(partsOf(changed({ ranking: late })).which, 'All gauges in order'));
    expect(piece).toContain('None can be read before going.');
    expect(piece).toContain('Its fit is not sound (separated).');
    expect(piece).not.toMatch(/Stand aside|What goes into the means|scores better than another/);
  });

  it('puts the chosen gauge first and marks its tab, if its own grade lets it be used', () => {
    const choose = (id: string, name: string, chosenCaution: string | null = null) =>
      changed({ chosenCaution, ranking: { ...ranking, choice: { ...ranking.choice, id, name } } });
    const first = (gauges: CreekGauges) =>
      panelsOf(chart, chart.runs[0]!, { runIndex: 0, gauges: gauges.runs[0]! }).map(({ gauge }) => gauge.gauge.id);
    const mill = choose('mill', 'Garn Brook at the mill');
    expect(first(mill)).toEqual(['mill', 'low-bridge', 'dam']);
    const body = bodyOf(pageOf(mill));
    const tabs = plain(body.slice(body.indexOf('id="run0-gauges"'), body.indexOf('id="r0g0"')));
    expect(tabs).toMatch(
      /Gauges, the chosen one first Garn Brook at the mill rough guide, stage, 14 km away, the one to read Ombrel/,
    );
    expect(tabs.split('the one to read').length).toBe(2);
    const caution = 'But its own chart is not for use (no usable relation): take no level from it.';
    const dam = choose('dam', 'Vessin below the dam', caution);
    expect(first(dam)).toEqual(['low-bridge', 'mill', 'dam']);
    expect(plain(partsOf(dam).which)).toContain(caution);
    expect(plain(partsOf(dam).which)).not.toContain('stands first below');
    const damBody = plain(bodyOf(pageOf(dam)));
    // Once on the screen and once for paper.
    expect(damBody.split(caution).length - 1).toBe(2);
  });

  it('is printed behind the card of a single gauge, and before it where several gauges have a card of their own', () => {
    const words = plain(
      single.slice(single.indexOf('class="printed-choice"'), single.indexOf('aria-labelledby="r0-else"')),
    );
    expect(words).toContain('Which gauge to read Read Ombrel River at Low Bridge The simplest of those');
    expect(words).toContain(chart.cautions[0]!);
    expect(single.match(/class="which" data-short/g)).toHaveLength(2);
    expect(single.match(/class="printed-choice"/g)).toHaveLength(2);
    const together = pageOf(fixtureGauges());
    expect(together.match(/class="which" data-short/g)).toHaveLength(1);
    expect(together.match(/class="printed-choice"/g)).toHaveLength(1);
  });

  it('trusts the charts less where nothing was worth choosing, and says why there is no ranking', () => {
    const none = plain(chosenParts('none').which);
    expect(none).toContain('None to rely on None of 5 candidates is to be relied on');
    expect(none).toContain('a skill of −0.04 (−0.20 to 0.09)');
    expect(none).toContain('Trust them less for this');
    expect(plain(chosenParts('none', 1).which)).toContain('Four visits are too few to rank gauges by.');
    expect(plain(partsOf(changed({ ranking: null })).which)).toContain('There is no gauge to choose from.');
  });
});

describe('the part "What else tells of this run"', () => {
  const part = chosenParts('single').other;

  it('is not there without loggers and staffs, and carries the caution where it is', () => {
    expect(chosenParts('single', 1).other).toBe('');
    expect(bodyOf(single).match(/class="else"/g)).toHaveLength(1);
    expect(plain(part)).toContain(`${chart.cautions[0]!} A look from the bank counts`);
  });

  it('tells where a logger stood, what each gauge makes of its levels, and what it adds to the visits', () => {
    expect(plain(part)).toContain(
      'Levels in m, 0.1 km below the put-in, 2031-04-02 to 2031-05-07. They are no official',
    );
    const piece = plain(pieceOf(part, 'Against Ombrel River at Low Bridge'));
    expect(piece).toContain('The logger alone 2.6 (2.1 to 3.1) 9 (6 to 12)');
    expect(piece).toContain('The visits alone 3 (0.8 to 5.2) 12 (5 to 19)');
    expect(piece).toContain('Both together, as in the chart 2.7 (2.1 to 3.3) 10 (7 to 13)');
    expect(piece).toContain('With the logger the lag is known to 1.2 h instead of 4.4 h.');
    expect(piece).toContain(
      'A power law explains 94 % of the levels’ variance; what is left has a spread of 0.021 m. 838 hours in 4 floods, worth about 61 independent ones.',
    );
    const short = pieceOf(part, 'Against Garn Brook at the mill');
    expect(plain(short)).toContain('share 12 hours; 48 are needed for a lag.');
    expect(short).not.toContain('<figure');
  });

  it('shows the gauge that explains more first, whatever their order in the file', () => {
    const [logger] = fixtureGauges().runs[0]!.loggers;
    const turned = partsOf(changed({ loggers: [{ ...logger!, gauges: [...logger!.gauges].reverse() }] }));
    expect(turned.other).toBe(part);
  });

  it('holds a staff against the gauges in the order of the tabs', () => {
    const [staff] = fixtureGauges().runs[0]!.staffs;
    const [rating] = staff!.gauges;
    const others = ['elsewhere', 'mill'].map((gauge) => ({ ...rating!, gauge, gaugeName: gauge }));
    const { other } = partsOf(changed({ loggers: [], staffs: [{ ...staff!, gauges: [...others, rating!] }] }));
    expect([...other.matchAll(/<span class="what">Against ([^<]*)</g)].map((match) => match[1])).toEqual([
      'words',
      'Ombrel River at Low Bridge',
      'mill',
      'elsewhere',
    ]);
  });

  it('says what is missing of a logger', () => {
    const [logger] = fixtureGauges().runs[0]!.loggers;
    const at = (change: object) => plain(partsOf(changed({ loggers: [{ ...logger!, ...change }], staffs: [] })).other);
    expect(at({ gauges: [], fromMs: null, toMs: null, kmFromPutIn: null })).toContain(
      'Levels in m. They are no official readings and no level of the run. None of its levels could be read.',
    );
    expect(at({ gauges: [], kmFromPutIn: 0 })).toContain('at the put-in');
    expect(at({ gauges: [], kmFromPutIn: -2 })).toContain('2 km above the put-in');
    expect(at({ gauges: [] })).toContain('There is no gauge to hold it against.');
  });

  it('holds a staff against words and against a gauge, with both intervals and what lies off', () => {
    const words = plain(pieceOf(part, 'Against words'));
    expect(words).toContain('good 6 57 50 to 63');
    expect(words).toContain('too high 0');
    expect(words).toContain('Medians too low 41, low 47.5, good 57, high 68.5 cm.');
    const rating = plain(pieceOf(part, 'Against Ombrel River at Low Bridge', 1));
    // 12 + 4.1·120^0.42 = 42.6.
    expect(rating).toMatch(/ft³\/s Median Curve, 80 % One reading, 80 % 12\d 42\.\d /);
    expect(rating).toContain('A power law: the visits are 14 times as likely');
    expect(rating).toContain('With 95 % probability below 16.2 cm.');
    expect(rating).toMatch(/A power law; half of 22 readings lie within 3(\.0)? cm of it, the farthest 4\.\d cm off\./);
    const upper = { from: 310, exponent: { median: 0.81, i80: [0.62, 1.02] as const, i95: [0.5, 1.2] as const } };
    const [staff] = fixtureGauges().runs[0]!.staffs;
    const bent = plain(partsOf(changed({ staffs: [{ ...staff!, gauges: [{ ...staff!.gauges[0]!, upper }] }] })).other);
    expect(bent).toContain('They meet at 310 ft³/s; above it the exponent is 0.81 (0.62 to 1.02).');
    expect(bent).toMatch(/Two power laws that meet at 310 ft³\/s; half of 22 readings lie within 3(\.0)? cm of them/);
  });
});

describe('the lag in depth', () => {
  it('stands with the gauge it is of: a sentence each of distance and flow, numbers folded, a doubt marked', () => {
    const page = bodyOf(single);
    const gauge = page.slice(page.indexOf('id="r0g0"'), page.indexOf('id="r0g1"'));
    const words = plain(gauge);
    expect(words).toMatch(/The gauge leads by 3 h \(0\.4 to 5\.6\)\. Over 15 km a tracer would need 6\.5 to 16 h;/);
    expect(words).toContain('makes the visits only 1.8 times as likely.');
    expect(words).toContain('A wave over 15 km 3.9 to 9.5 A tracer over 15 km 6.5 to 16');
    expect(words).toContain('Lag at a usual visit, 260 ft³/s 3.1 (1.7 to 4.5)');
    expect(words).toContain('0.6, not kept');
    const mill = page.slice(page.indexOf('id="r0g1"'), page.indexOf('id="r0g2"'));
    expect(mill).not.toContain('The lag in depth');
    const [lag, ...others] = fixtureGauges().runs[0]!.lags;
    const doubted = pageOf(changed({ lags: [{ ...lag!, travel: { ...lag!.travel!, lagGoes: false } }, ...others] }));
    expect(bodyOf(doubted)).toContain('<p class="heed">Over 15 km');
  });
});

describe('figures of gauges.json on the page', () => {
  const gauges = fixtureGauges();
  const run = gauges.runs[0]!;

  it('are there once, with their words for who can’t see them', () => {
    expect(ofGauges(single)).toEqual(['r0-ranking', 'r0-logger0-0', 'r0-ccf0-0', 'r0-staff0', 'r0-rating0-0']);
    const body = bodyOf(single);
    for (const id of ofGauges(single)) expect(body.split(`data-figure="${id}"`).length - 1, id).toBe(1);
    const altOf = (figure: Figure | undefined) => figure!.alt.replaceAll("'", '&#39;');
    expect(body).toContain(
      `aria-label="${altOf(rankingFigure(fixtureGauges({ chosen: 'single' }).runs[0]!.ranking!))}"`,
    );
    expect(body).toContain(`aria-label="${altOf(staffFigure(run.staffs[0]!))}"`);
  });

  it('leave room: the lesser gauge of a logger goes first, then all levels, and the choice stays to the last', () => {
    const [logger] = run.loggers;
    const [best, second] = logger!.gauges;
    const two = { ...best!, gauge: 'mill', gaugeName: second!.gaugeName, explained: 0.5 };
    const full = changed({ loggers: [{ ...logger!, gauges: [two, best!] }] }, 'combined');
    const content = contentOf(full);
    const kept = THRIFT.map((thrift) => thriftyGauges(content, thrift));
    const levels = kept.map(({ figures }) => [...figures.keys()].filter((id) => id.includes('-logger')));
    expect(levels.slice(0, 5)).toEqual([
      ['r0-logger0-0', 'r0-logger0-1'],
      ['r0-logger0-0'],
      ['r0-logger0-0'],
      ['r0-logger0-0'],
      [],
    ]);
    expect([...kept[4]!.figures.keys()]).toContain('r0-ranking');
    const last = kept[kept.length - 1]!;
    expect(last.figures.size).toBe(0);
    const words = plain(choicePart(last, chart.cautions).html);
    expect(words).toContain('Read mean of Ombrel River');
    expect(words).toContain('How to read them');
    expect(words).not.toContain('All gauges in order');
    expect(plain(otherPart(last, chart.cautions)!.html)).toContain(
      'Loggers and staffs are left out to keep the page small; they are in gauges.json.',
    );

    const all = chartPage(small, { plotly: '', gauges: full });
    const room = ' '.repeat(PAGE_LIMIT_BYTES - Buffer.byteLength(all) + 10);
    const page = chartPage(small, { plotly: room, gauges: full });
    expect(Buffer.byteLength(page)).toBeLessThan(PAGE_LIMIT_BYTES);
    expect(figureIds(all).filter((id) => !figureIds(page).includes(id))).toEqual(['r0-logger0-1']);
    expect(page.includes('Its levels are left out to keep the page small; they are in gauges.json.')).toBe(true);
  });
});

describe('the whole page with it', () => {
  it('has headings in order: none skips a step down', () => {
    const body = bodyOf(chartPage(small, { plotly: PLOTLY, trust: fixtureTrust(small), gauges: fixtureGauges() }));
    const steps = [...body.matchAll(/<h([1-6])[ >]/g)].map((match) => Number(match[1]));
    expect(steps[0]).toBe(1);
    expect(steps.filter((step, i) => step > (steps[i - 1] ?? 0) + 1)).toEqual([]);
  });

  it('writes every text of gauges.json as text only', () => {
    const evil = `</script><img src=x onerror="alert(2)">'"\`<!--\u2028\u202e`;
    /** Every text but the words that the program itself chooses from. */
    const spoilt = (value: unknown, key = ''): unknown => {
      if (typeof value === 'string')
        return /^(kind|status|form|unit|lies|timeZone|id|gauge)$/.test(key) ? value : value + evil;
      if (Array.isArray(value)) return value.map((one) => spoilt(one));
      if (typeof value !== 'object' || value === null) return value;
      return Object.fromEntries(Object.entries(value).map(([k, one]) => [k, spoilt(one, k)]));
    };
    const hostile = spoilt(fixtureGauges()) as CreekGauges;
    const ids = { ...hostile.runs[0]!, lags: hostile.runs[0]!.lags.map((one) => ({ ...one, gauge: evil })) };
    for (const gauges of [hostile, { ...hostile, runs: [ids] }]) {
      const page = chartPage(small, { plotly: PLOTLY, gauges });
      expect(page.match(/<\/script>/g)).toHaveLength(3);
      expect(page).not.toMatch(/<img|<!--|[\u2028\u202e]/);
      for (const [, value] of bodyOf(page).matchAll(
        /\s(?:id|class|href|data-[a-z]+|for|aria-controls|aria-labelledby)="([^"]*)"/g,
      ))
        expect(value).toMatch(/^[\w# .-]*$/);
    }
    expect(Object.values(partsOf(hostile)).join('').split('&lt;img src=x').length).toBeGreaterThan(40);
  });
});
