/// <reference lib="dom" />
/// <reference lib="dom.iterable" />
import type { inflow } from '../../align/effectiveSeries.js';
import type { onTheWay } from '../../chart/day/onTheWay.js';
import type { answerReading, Calculator, readingFrom } from '../../chart/calculator.js';
import type { oddsAt, seenOdds } from '../../chart/figures/oddsAt.js';
import type { wholePercents } from '../../chart/figures/wholePercents.js';
import type { figures } from '../../series/format.js';
import type { Asked } from './calculatorHtml.js';
import type { parseReading } from './parseReading.js';
import type { PageWay, startWay } from './startWay.js';

/** What the page's script works on, by the id of each calculator. */
export type PageData = Readonly<Record<string, PageCalculator>>;

export interface PageCalculator extends Calculator {
  readonly labels: readonly [string, string];
  /** How many of the other unit make one of the gauge's. */
  readonly otherPerOwn: number;
  /** The same for each part. */
  readonly partPerOther: readonly number[];
  /** Names of the fields of each part. */
  readonly asked: readonly Asked[];
  /** The figure that a typed reading is marked on. */
  readonly axis: { readonly log: boolean; readonly from: number; readonly to: number };
  /** Of the gauge to read only. */
  readonly way?: PageWay;
}

export interface PageHelpers {
  readonly answerReading: typeof answerReading;
  readonly figures: typeof figures;
  readonly inflow: typeof inflow;
  readonly oddsAt: typeof oddsAt;
  readonly onTheWay: typeof onTheWay;
  readonly parseReading: typeof parseReading;
  readonly readingFrom: typeof readingFrom;
  readonly seenOdds: typeof seenOdds;
  readonly startWay: typeof startWay;
  readonly wholePercents: typeof wholePercents;
}

/**
 * Brings the calculators to life in the browser. The page carries this function's source, so it stands alone: everything it needs comes
 * in as an argument. Texts go in as text nodes, never as HTML.
 */
export function startPage(data: PageData, helpers: PageHelpers): void {
  const { answerReading, figures, parseReading, readingFrom } = helpers;
  const all = <T extends Element>(selector: string, within: ParentNode) => [...within.querySelectorAll<T>(selector)];
  const PROBLEMS = {
    empty: 'Type a reading.',
    'not-a-number': 'That is no number: write it like 312 or 8.5.',
    'comma-unclear': 'The comma could mean thousands or decimals: write 1200 or 1.2.',
  };
  const both = (value: number, { labels, otherPerOwn }: PageCalculator) =>
    `${figures(value)} ${labels[0]} (${figures(value * otherPerOwn)} ${labels[1]})`;
  const between = ({ from, to }: { from: number; to: number }, { labels }: PageCalculator, word: string) =>
    `${figures(from)} ${word} ${figures(to)} ${labels[0]}`;
  const percentText = (percent: number) =>
    percent === 0 ? 'under 1 %' : percent === 100 ? 'over 99 %' : `${percent} %`;
  const wordsOf = (calculator: PageCalculator, value: number, answer: ReturnType<typeof answerReading>): string => {
    const { classes, seen } = calculator;
    if (answer.kind === 'odds') {
      const k = answer.likeliest;
      return `${both(value, calculator)}: most likely “${classes[k]!}”, ${percentText(answer.percents[k]!)}.`;
    }
    if (answer.kind === 'not-seen') {
      const word =
        answer.classIndex < 0
          ? ''
          : ` Take it as ${answer.side === 'above' ? 'at least' : 'at most'} “${classes[answer.classIndex]!}”`;
      const more = answer.side === 'above' ? '; how much more, nobody knows.' : '.';
      const limit = `No visit has met a reading ${answer.side} ${both(answer.end, calculator)}.`;
      return `${both(value, calculator)}: not seen. ${limit}${word}${word === '' ? '' : more}`;
    }
    if (answer.why === 'no-flow') return 'A flow of zero or less says nothing here.';
    if (answer.why === 'not-a-number') return 'These readings make no level.';
    const met = between(seen, calculator, 'to');
    return `${both(value, calculator)} is far from anything that was met (${met}): check the number and its unit.`;
  };
  const oddsText = ({ classes }: PageCalculator, percents: readonly number[]) =>
    classes.map((word, k) => `${word} ${percentText(percents[k]!)}`).join(', ');
  /** A line on the figure at a value, of the kind `typed` or `pointed`; gone without one. */
  const markAt = (id: string, kind: string, value: number | undefined) => {
    const { axis } = data[id]!;
    const at = axis.log ? Math.log : (x: number) => x;
    const share = value === undefined ? NaN : (at(value) - at(axis.from)) / (at(axis.to) - at(axis.from));
    for (const mark of all<HTMLElement>(`[data-mark="${id}"] .${kind}`, document)) {
      mark.hidden = !(share >= 0 && share <= 1);
      const [left, right] = mark.dataset.span!.split(' ').map(Number) as [number, number];
      mark.style.left = `${left + share * (right - left)}%`;
    }
  };

  for (const form of all<HTMLFormElement>('[data-calc]', document)) {
    const id = form.dataset.calc!;
    const calculator = data[id]!;
    const [said, near, bars] = ['.said', '.near', '.bars'].map((one) => form.querySelector<HTMLElement>(one)!) as [
      HTMLElement,
      HTMLElement,
      HTMLElement,
    ];
    const way = calculator.way && helpers.startWay(form, calculator.way, { ...helpers, percentText });
    const show = (text: string, value?: number, answer?: ReturnType<typeof answerReading>) => {
      said.textContent = text;
      markAt(id, 'typed', value);
      const odds = answer?.kind === 'odds' ? answer : undefined;
      way?.(odds && value, value === undefined ? '' : `gauge ${figures(value)} ${calculator.unit}`);
      bars.hidden = odds === undefined;
      near.textContent =
        odds === undefined
          ? ''
          : `Visits near: ${odds.near.visits} of ${calculator.visits.length}, between ${between(odds.near, calculator, 'and')}. ` +
            'In brackets: 80 % intervals.';
      if (odds === undefined) return;
      for (const row of all<HTMLElement>('li', bars)) {
        const k = Number(row.dataset.class);
        row.querySelector('.percent')!.textContent =
          percentText(odds.percents[k]!) + (odds.high[k]! > 1 ? ` (${odds.low[k]!} to ${odds.high[k]!})` : '');
        row.querySelector<HTMLElement>('.bar')!.style.width = `${odds.percents[k]!}%`;
        const interval = row.querySelector<HTMLElement>('i')!;
        interval.style.left = `${odds.low[k]!}%`;
        interval.style.width = `${odds.high[k]! - odds.low[k]!}%`;
      }
    };
    const numbers = (key: string) =>
      calculator.parts.map(({ unit }, i) => {
        const typed = parseReading((form.elements.namedItem(`${key}${i}`) as HTMLInputElement).value);
        const own = (form.elements.namedItem(`unit${i}`) as HTMLSelectElement).value === unit;
        return 'problem' in typed ? typed.problem : own ? typed.value : typed.value * calculator.partPerOther[i]!;
      });
    const update = () => {
      const asked = calculator.asked.map((key) => [key, numbers(key)] as const);
      const typed = asked.flatMap(([, values]) => values);
      const problem =
        typed.find((one) => typeof one === 'string' && one !== 'empty') ?? typed.find((one) => typeof one === 'string');
      if (typeof problem === 'string') {
        const some = typed.some((one) => one !== 'empty');
        return show(
          problem === 'empty' && some ? 'And the other reading?' : PROBLEMS[problem as keyof typeof PROBLEMS],
        );
      }
      if (calculator.log && typed.some((one) => !((one as number) > 0)))
        return show('A flow of zero or less says nothing here.');
      const given = Object.fromEntries(asked) as unknown as Readonly<Record<Asked, readonly number[]>>;
      const value = readingFrom(calculator, given, helpers);
      const answer = answerReading(calculator, value, helpers);
      show((typed.length > 1 ? 'Worked out: ' : '') + wordsOf(calculator, value, answer), value, answer);
    };
    form.addEventListener('input', update);
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      update();
    });
    update();
  }
  for (const marks of all<HTMLElement>('[data-mark]', document)) {
    const id = marks.dataset.mark!;
    const calculator = data[id]!;
    const readout = document.querySelector<HTMLElement>(`[data-cursor="${id}"]`)!;
    const idle = readout.textContent;
    const leave = () => {
      markAt(id, 'pointed', undefined);
      readout.textContent = idle;
    };
    const point = (event: PointerEvent) => {
      const box = marks.getBoundingClientRect();
      const shown = all<HTMLElement>('.pointed', marks).find(
        (mark) => getComputedStyle(mark.parentElement!).display !== 'none',
      )!;
      const [left, right] = shown.dataset.span!.split(' ').map(Number) as [number, number];
      const share = ((100 * (event.clientX - box.left)) / box.width - left) / (right - left);
      if (!(share >= 0 && share <= 1)) return leave();
      const { log, from, to } = calculator.axis;
      const value = log ? from * (to / from) ** share : from + share * (to - from);
      const answer = answerReading(calculator, value, helpers);
      markAt(id, 'pointed', value);
      readout.textContent =
        answer.kind === 'odds'
          ? `${both(value, calculator)}: ${oddsText(calculator, answer.percents)}`
          : wordsOf(calculator, value, answer);
    };
    const paper = marks.parentElement!;
    paper.addEventListener('pointermove', point);
    paper.addEventListener('pointerdown', point);
    // A finger that lifts off leaves too, and the reader still wants to read.
    paper.addEventListener('pointerleave', (event) => event.pointerType === 'mouse' && leave());
  }
  // A link to a run or a fold opens what it leads into.
  const unfold = () => {
    const target = location.hash === '' ? null : document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let at: Element | null = target; at !== null; at = at.parentElement)
      if (at instanceof HTMLDetailsElement) at.open = true;
  };
  addEventListener('hashchange', unfold);
  unfold();
}
