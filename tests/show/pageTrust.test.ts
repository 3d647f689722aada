import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CreekChart } from '../../src/chart/types.js';
import type { CreekTrust, Judgement } from '../../src/judge/judgement.js';
import { unpackTrace } from '../../src/show/page/packTraces.js';
import { chartPage } from '../../src/show/page/renderPage.js';
import { sentence, typeset } from '../../src/show/page/sentence.js';
import { sharePieces } from '../../src/show/page/sharePieces.js';
import { GRADE_MEANING } from '../../src/show/page/trust/gradeMeaning.js';
import { fixtureChart } from './fixtureChart.js';
import { bare, fixtureTrust, quick, unfitted } from './fixtureTrust.js';

const PLOTLY = 'window.Plotly={react(){}};';
const chart = fixtureChart();
const pageOf = (trust?: CreekTrust, of: CreekChart = chart) =>
  chartPage(of, { plotly: PLOTLY, ...(trust && { trust }) });

function bodyOf(page: string): string {
  return page.slice(page.indexOf('<body>'), page.indexOf('<script type="application/json"'));
}

/** The part of one gauge. */
function partOf(page: string, id: string): string {
  const body = bodyOf(page);
  const from = body.indexOf(`aria-labelledby="${id}-trust"`);
  expect(from, id).toBeGreaterThan(0);
  return body.slice(from, body.indexOf('</section>', from));
}

/** The fold of a title, with everything in it. */
function pieceOf(part: string, title: string): string {
  const at = part.indexOf(`<span class="what">${title}`);
  expect(at, title).toBeGreaterThan(0);
  return part.slice(at, part.indexOf('</details>', at));
}

const figureIds = (page: string) =>
  Object.keys(
    (JSON.parse(/id="page-data">([\s\S]*?)<\/script>/.exec(page)![1]!) as { figures: Record<string, unknown> }).figures,
  );
const titlesOf = (part: string) => [...part.matchAll(/<span class="what">([^<]*)</g)].map((match) => match[1]);
const plain = (text: string) => text.replace(/<[^>]*>/g, ' ').replace(/[ \n]+/g, ' ');

const TITLES = [
  'Skill: is it better than guessing?',
  'Do the odds hold?',
  'The cost of a rule',
  'Deciding earlier',
  'Evidence: what it rests on',
  'Observers: who reads high?',
  'Shift: did the creek’s bed move?',
  'Suspect sightings',
  'Next best look',
  'Influence and sensitivity',
  'What the grade stands on',
  'Floods, one by one',
];

describe('the part "How far to trust it"', () => {
  const page = pageOf(fixtureTrust(chart));
  const part = partOf(page, 'r0g0');

  it('is there once a gauge, usable or not, and not at all where nobody judged', () => {
    expect(bodyOf(page).split('<section class="trust"').length - 1).toBe(4);
    expect(pageOf()).not.toContain('class="trust"');
    expect(figureIds(pageOf()).filter((id) => /-(skill|rule|bias|look)$/.test(id))).toEqual([]);
  });

  it('gives grade, meaning, reasons, direction of errors, rule, earlier, and what helps before anything is unfolded', () => {
    const first = plain(part.slice(0, part.indexOf('<details')));
    const order = [
      'fair guide',
      GRADE_MEANING['fair guide'],
      '72 visits in 19 floods.',
      'Only two visits were too high.',
      'higher than said',
      'On floods it had not seen, the chart named the right class in 68\u00a0%',
      'is chosen to keep days found too high under 5\u00a0%',
      'The reading that the rule means: Take the mean flow of the 24 hours',
      chart.cautions[0]!,
      'A look from the bank counts',
      'Decided 4 hours before, the gauge still takes away 58\u00a0%',
      'Log 4 more floods: a good guide asks for 15.',
    ];
    const places = order.map((text) => first.indexOf(text));
    places.forEach((place, i) => expect(place, order[i]).toBeGreaterThanOrEqual(0));
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    // About a minute, with the numbers skimmed.
    expect(first.split(' ').length).toBeLessThan(330);
  });

  it('folds the detail in an order for each reader, each fold with what to look for and what was seen', () => {
    expect(titlesOf(part)).toEqual(TITLES);
    const headings = [...part.matchAll(/<h5>([^<]*)<\/h5>/g)].map((match) => match[1]);
    expect(headings.slice(-3)).toEqual(['Behind these sentences', 'For whoever keeps the log', 'For a sceptic']);
    for (const title of TITLES) {
      const piece = pieceOf(part, title);
      const says = /<span class="finding">([^<]+)<\/span>/.exec(piece)![1]!;
      expect(piece.indexOf('<b>Look for</b>')).toBeLessThan(piece.indexOf('<b>Seen:</b>'));
      expect(plain(piece.slice(piece.indexOf('<b>Seen:</b>')))).toContain(says);
      expect(says).toMatch(/^[A-Z0-9][\s\S]*\.$/);
    }
  });

  it('draws seven figures a usable gauge, whose words stand there without script', () => {
    const ids = figureIds(page).filter((id) => id.startsWith('r0g0-'));
    for (const name of ['skill', 'reliability', 'rule', 'lead', 'bias', 'shift', 'look']) {
      expect(ids).toContain(`r0g0-${name}`);
      expect(part).toContain(`data-figure="r0g0-${name}"`);
    }
    expect(part.split('<noscript><p>').length - 1).toBe(7);
  });

  it('shows the cautions beside whatever could send someone out', () => {
    for (const title of ['The cost of a rule', 'Next best look']) {
      expect(pieceOf(part, title)).toContain(chart.cautions[0]!);
      expect(pieceOf(part, title)).toContain('A look from the bank counts');
    }
    expect(pieceOf(part, 'Next best look')).toContain('Nobody needs to be on the water to log it.');
  });

  it('holds the tables: said against seen, the rules, edges before and after, suspects with lines and odds, checks, floods', () => {
    const confusion = pieceOf(part, 'Do the odds hold?');
    expect(confusion).toMatch(/<td class="s5 same">14<\/td>/);
    expect(confusion).toMatch(/<td class="s2">3\.5<\/td>/);
    expect(plain(confusion)).toContain('Right of the frames the creek was higher than said');
    expect(plain(pieceOf(part, 'The cost of a rule'))).toContain(
      'Chosen, tested on other floods 245 to 403 30 of 66 3\u00a0% (0 to 9)',
    );
    expect(plain(pieceOf(part, 'Shift'))).toContain('too\u00a0low | low 140 (122 to 160) 105');
    const suspects = plain(pieceOf(part, 'Suspect sightings'));
    expect(suspects).toContain(
      'Took place 12 hours later than written: morning for evening. 71\u00a0% Belongs to another day or another creek. 20\u00a0% 3\u00a0% Runa 12, 13',
    );
    expect(suspects).toContain('Shown, never removed');
    expect(plain(pieceOf(part, 'Influence'))).toMatch(
      /prior widths halved 141 \(\+0\.10\) 247 \(\+0\.31\) low\s\|\sgood/,
    );
    expect(plain(pieceOf(part, 'What the grade stands on'))).toContain(
      'independent floods (essential) 18 floods at least 8 floods yes',
    );
    const floods = pieceOf(part, 'Floods, one by one');
    expect(floods.split('>better<').length - 1).toBe(18);
    expect(plain(floods)).toContain(
      'better than how often each class was logged on 18 of 18 floods'.replace('better', 'Better'),
    );
  });

  it('takes the checks and the observers in and leaves no second copy of them', () => {
    const section = bodyOf(page).slice(bodyOf(page).indexOf('id="r0g0"'), bodyOf(page).indexOf('id="r0g1"'));
    expect(section.split('<caption>\nWhat the grade stands on').length - 1).toBe(1);
    expect(section).not.toContain('<summary>What the grade stands on</summary>');
    expect(section).not.toContain('Observers: above zero, someone who calls the same water higher');
    expect(pageOf()).toContain('<summary>What the grade stands on</summary>');
  });

  it('gives a gauge that is no use neither rule nor lead curve, and sends nobody to look again at one that knows nothing', () => {
    const useless = partOf(page, 'r0g2');
    expect(useless).toContain('None is given: this gauge is not for use.');
    expect(titlesOf(useless)).toEqual(TITLES.filter((title) => !/rule|earlier/.test(title)));
    expect(useless).not.toContain('is chosen to keep');
    expect(pieceOf(useless, 'Next best look')).toContain('More looks will not make this gauge know the creek');
    expect(figureIds(page).filter((id) => /^r0g2-(rule|lead|look)$/.test(id))).toEqual([]);
    const thin = partOf(page, 'r1g0');
    expect(thin).toContain(GRADE_MEANING['too thin']);
  });

  it('makes the same bytes twice', () => {
    expect(pageOf(fixtureTrust(fixtureChart()))).toBe(page);
  });
});

describe('the part with less to say', () => {
  it('says what the quick judgement left away', () => {
    const part = partOf(pageOf(fixtureTrust(chart, quick)), 'r0g0');
    for (const title of ['Deciding earlier', 'Influence'])
      expect(pieceOf(part, title)).toContain('Not worked out in the quick judgement');
    expect(part).toContain('The chart without one observer: Not worked out');
    expect(part).toContain('Edges before and after: Not worked out');
    expect(part).not.toContain('data-figure="r0g0-lead"');
  });

  it.each([
    [
      'unfitted',
      unfitted,
      [
        'Nobody knows: nothing could be fitted.',
        'Nothing could be fitted, so there is no skill to measure.',
        'Too few floods to say whether the relation moved',
        'There is no flood to show.',
        'Nothing was fitted: every visit on a new flood helps.',
      ],
    ],
    [
      'bare',
      bare,
      [
        'No skill could be measured.',
        'There is nothing to hold the stated odds to.',
        'No rule keeps the days found too high under 5\u00a0%',
        'None of 60 visits contradicts',
        'No single look stands out.',
      ],
    ],
  ] as const)('holds where it was %s: a sentence in place of each figure', (_, change, sentences) => {
    const page = pageOf(fixtureTrust(chart, change));
    const part = partOf(page, 'r0g0');
    for (const text of sentences) expect(part).toContain(text);
    expect(plain(bodyOf(page))).not.toMatch(/NaN|undefined|null|Infinity/);
    const drawn = figureIds(page).filter((id) => /^r0g0-(skill|reliability|rule|lead|shift|look)$/.test(id));
    expect(drawn).toEqual([]);
  });

  it('holds without the gauge, the run, checks, reasons and advice', () => {
    const trust = fixtureTrust(chart, (j) => ({ ...j, reasons: [], improve: [], checks: [] }));
    const { runs } = trust;
    const page = pageOf({ ...trust, runs: [{ ...runs[0]!, gauges: runs[0]!.gauges.slice(0, 1) }] });
    expect(bodyOf(page).split('<section class="trust"').length - 1).toBe(1);
    const part = partOf(page, 'r0g0');
    expect(part).toContain('Nothing that the checks ask for is missing.');
    expect(pieceOf(part, 'What the grade stands on')).toContain('Nothing could be checked: fair guide.');
  });

  it('says at most three reasons and three pieces of advice', () => {
    const many = ['one', 'two', 'three', 'four'];
    const part = partOf(pageOf(fixtureTrust(chart, (j) => ({ ...j, reasons: many, improve: many }))), 'r0g0');
    const first = part.slice(0, part.indexOf('<details'));
    expect(first.match(/<li>\s*(One|Two|Three)\./g) ?? first.match(/<li>(One|Two|Three)\./g)).toHaveLength(6);
    expect(first).not.toContain('Four.');
  });
});

describe('the part with hostile names', () => {
  const evil = `</script><script>alert(1)</script><img src=x onerror="alert(2)">'"\`<!--\u2028\u202e%{x}`;
  /** Every text of a judgement replaced, whatever it means. */
  const poison = (value: unknown, key = ''): unknown => {
    if (typeof value === 'string')
      return [
        'kind',
        'run',
        'gauge',
        'unit',
        'grade',
        'way',
        'depth',
        'status',
        'method',
        'operator',
        'variant',
        'link',
      ].includes(key)
        ? value
        : evil;
    if (Array.isArray(value)) return value.map((item) => poison(item, key));
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, poison(inner, name)]));
  };
  // A way's name is one of ours, a grade too: they pick words.
  const trust = fixtureTrust(chart, (judgement) => poison(judgement) as Judgement);
  const page = pageOf(trust);

  it('writes them as text only', () => {
    expect(page.match(/<script/g)).toHaveLength(3);
    expect(page).not.toMatch(/<img|<!--|[\u2028\u202e]/);
    expect(partOf(page, 'r0g0').split('&lt;/script&gt;').length - 1).toBeGreaterThan(60);
  });
  it('makes no id, class or attribute of them', () => {
    for (const [, value] of bodyOf(page).matchAll(/\s(?:id|class|href|data-[a-z]+|for|aria-labelledby)="([^"]*)"/g))
      expect(value).toMatch(/^[\w# .-]*$/);
  });
});

describe('typeset', () => {
  it.each([
    ['worse: -9 % (-18 % to -2 %)', 'worse: −9\u00a0% (−18\u00a0% to −2\u00a0%)'],
    ['-13 % against the calendar', '−13\u00a0% against the calendar'],
    ['between 2031-04-02 and 2031-05-01', 'between 2031-04-02 and 2031-05-01'],
    ['take-out 3-4', 'take-out 3-4'],
  ])('writes %j as %j', (text, set) => {
    expect(typeset(text)).toBe(set);
    expect(sentence(text)).toContain(set.slice(1));
  });
});

describe('sharePieces', () => {
  const tables = { columns: [], lines: [] };
  const open = (data: unknown) => {
    const { packed, pieces } = JSON.parse(JSON.stringify(sharePieces(data))) as ReturnType<typeof sharePieces>;
    return { back: unpackTrace(packed, { ...tables, pieces }), pieces };
  };
  it('writes what repeats once', () => {
    const font = { family: 'a long enough name', size: 12 };
    const data = { one: { font, line: { width: 1 } }, two: { font: { ...font }, line: { width: 2 } } };
    const { back, pieces } = open(data);
    expect(back).toEqual(data);
    expect(pieces).toEqual([font]);
  });
  it('nests: a piece may hold pieces, and two figures may be alike', () => {
    const font = { family: 'a long enough name', size: 12 };
    const axis = { title: { text: 'odds, %', font }, tickfont: font };
    const data = { f: { xaxis: axis, yaxis: axis }, g: { xaxis: axis, yaxis: axis } };
    const { back, pieces } = open(data);
    expect(back).toEqual(data);
    expect(JSON.stringify(pieces).length).toBeLessThan(JSON.stringify(data).length / 2);
  });
  it('gives any plain data back', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), (values) => {
        const safe = JSON.parse(
          JSON.stringify([...values, ...values]).replace(/"(piece|column|texts|minutes|same|__proto__)"/g, '"k"'),
        ) as unknown;
        expect(open(safe).back).toEqual(safe);
      }),
      { numRuns: 60 },
    );
  });
});
