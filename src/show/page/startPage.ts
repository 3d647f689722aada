/// <reference lib="dom" />
/// <reference lib="dom.iterable" />
import type { oddsAt } from '../../chart/figures/oddsAt.js';
import type { wholePercents } from '../../chart/figures/wholePercents.js';
import type { PageData, PageFigure, PageLevel } from './pageData.js';
import type { unpackTrace } from './packTraces.js';
import type { parseReading } from './parseReading.js';

/** The part of the plot library that the page uses. */
export interface Plotter {
  react(element: Element, data: unknown, layout: unknown, config: unknown): unknown;
}

export interface PageHelpers {
  readonly oddsAt: typeof oddsAt;
  readonly wholePercents: typeof wholePercents;
  readonly parseReading: typeof parseReading;
  readonly unpackTrace: typeof unpackTrace;
}

/**
 * Brings the page to life in the browser: tabs, figures when they come into view, odds of a typed reading and of the place
 * pointed at, and print. The page carries this function's source, so it stands alone: no imports at run time, everything it
 * needs comes in as an argument. Texts go in as text nodes, never as HTML.
 */
export function startPage(
  plotter: Plotter,
  data: PageData,
  { oddsAt, wholePercents, parseReading, unpackTrace }: PageHelpers,
): void {
  const all = <T extends Element>(selector: string, within: ParentNode = document) => [
    ...within.querySelectorAll<T>(selector),
  ];
  const NARROW_BELOW = 560;
  let printing = false;

  // --- tabs: lists of links to sections become tabs; without this script they are links ---
  const openTab = (list: Element, chosen: HTMLAnchorElement) => {
    for (const tab of all<HTMLAnchorElement>(':scope > li > a', list)) {
      const on = tab === chosen;
      tab.setAttribute('aria-selected', String(on));
      tab.tabIndex = on ? 0 : -1;
      document.getElementById(tab.hash.slice(1))!.hidden = !on;
    }
  };
  for (const list of all<HTMLElement>('[data-tabs] > .tablist')) {
    const tabs = all<HTMLAnchorElement>(':scope > li > a', list);
    list.setAttribute('role', 'tablist');
    for (const tab of tabs) {
      const section = document.getElementById(tab.hash.slice(1))!;
      tab.parentElement!.setAttribute('role', 'presentation');
      tab.setAttribute('role', 'tab');
      tab.setAttribute('aria-controls', section.id);
      tab.id = `${section.id}-tab`;
      section.setAttribute('role', 'tabpanel');
      section.setAttribute('aria-labelledby', tab.id);
      tab.addEventListener('click', (event) => {
        event.preventDefault();
        openTab(list, tab);
      });
      tab.addEventListener('keydown', (event) => {
        const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
        if (step === undefined) return;
        event.preventDefault();
        const next = tabs[(tabs.indexOf(tab) + step + tabs.length) % tabs.length]!;
        openTab(list, next);
        next.focus();
      });
    }
    openTab(list, tabs.find((tab) => tab.hash === location.hash) ?? tabs[0]!);
  }

  // --- figures ---
  const drawn = new Set<HTMLElement>();
  const figureOf = (element: HTMLElement) => unpackTrace(data.figures[element.dataset.figure!]!, data.tables);
  const draw = (element: HTMLElement) => {
    const { traces, layout: wide, narrow } = figureOf(element);
    const width = element.clientWidth;
    if (width === 0) return;
    const layout = { ...wide, ...(width < NARROW_BELOW ? narrow : {}), width };
    plotter.react(element, traces, layout, { displayModeBar: false, showTips: false, doubleClick: 'reset' });
    drawn.add(element);
    placeMarks(element);
  };
  const watcher = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries)
        if (isIntersecting && !drawn.has(target as HTMLElement)) draw(target as HTMLElement);
    },
    { rootMargin: '300px' },
  );
  for (const element of all<HTMLElement>('.plot')) watcher.observe(element);

  // A figure drawn before its tab was hidden keeps its width: it is drawn anew when it shows at another one.
  let waiting = 0;
  const redraw = () => {
    for (const element of drawn) if (element.clientWidth > 0) draw(element);
  };
  new ResizeObserver(() => {
    clearTimeout(waiting);
    waiting = window.setTimeout(() => {
      if (!printing) redraw();
    }, 150);
  }).observe(document.querySelector('main')!);

  window.addEventListener('beforeprint', () => {
    printing = true;
    // The page takes its printed width now, so that figures are drawn for it.
    document.body.classList.add('printing');
    for (const element of all<HTMLElement>('.plot')) if (element.clientWidth > 0) draw(element);
  });
  window.addEventListener('afterprint', () => {
    printing = false;
    document.body.classList.remove('printing');
    redraw();
  });

  // --- odds ---
  const digitsOf = (value: number) => Number(value.toPrecision(3)).toString();
  const bothUnits = (value: number, level: PageLevel) =>
    `${digitsOf(value)} ${level.unitLabel} (${digitsOf(value * level.otherPerOwn)} ${level.otherLabel})`;
  /** The class that is reached with even odds at the highest value seen, or not passed at the lowest. */
  const beyond = (level: PageLevel, above: boolean) => {
    const odds = oddsAt(level, above ? level.seen.to : level.seen.from) ?? [];
    let sum = 0;
    if (above) {
      for (let k = odds.length - 1; k >= 0; k--) if ((sum += odds[k]!) >= 0.5) return `at least “${level.classes[k]!}”`;
    } else for (let k = 0; k < odds.length; k++) if ((sum += odds[k]!) >= 0.5) return `at most “${level.classes[k]!}”`;
    return 'unknown';
  };
  const notSeen = (value: number, level: PageLevel) => {
    const above = value > level.seen.to;
    const end = bothUnits(above ? level.seen.to : level.seen.from, level);
    return above
      ? `${bothUnits(value, level)}: not seen. Nobody has logged a visit above ${end}. Take it as ${beyond(level, true)}; how much more, nobody here knows.`
      : `${bothUnits(value, level)}: not seen. Nobody has logged a visit below ${end}. Take it as ${beyond(level, false)}.`;
  };
  const seenOdds = (value: number, level: PageLevel) =>
    value >= level.seen.from && value <= level.seen.to ? oddsAt(level, value) : undefined;

  // --- marks on the figure: the reading typed (kept) and the place pointed at ---
  const typed = new Map<string, number>();
  const markAt = (element: HTMLElement, kind: string, value: number | undefined) => {
    const wrap = element.parentElement!;
    let mark = wrap.querySelector<HTMLElement>(`.mark.${kind}`);
    if (mark === null) {
      mark = document.createElement('div');
      mark.className = `mark ${kind}`;
      wrap.append(mark);
    }
    const { scale } = data.levels[element.dataset.level!]!;
    const margin = marginOf(element);
    const at = scale.log ? Math.log : (x: number) => x;
    const share = value === undefined ? NaN : (at(value) - at(scale.from)) / (at(scale.to) - at(scale.from));
    mark.hidden = !(share >= 0 && share <= 1);
    if (mark.hidden) return;
    mark.style.left = `${margin.l + share * (element.clientWidth - margin.l - margin.r)}px`;
    mark.style.top = `${margin.t}px`;
    mark.style.bottom = `${margin.b}px`;
  };
  // Asked at every move of the pointer; the plot library never gets these, so they stay as they are.
  const margins = new Map<string, Pick<PageFigure, 'layout' | 'narrow'>>();
  const marginOf = (element: HTMLElement) => {
    const id = element.dataset.figure!;
    const figure = margins.get(id) ?? figureOf(element);
    margins.set(id, figure);
    const layout = { ...figure.layout, ...(element.clientWidth < NARROW_BELOW ? figure.narrow : {}) };
    return layout.margin as { l: number; r: number; t: number; b: number };
  };
  const placeMarks = (element: HTMLElement) => {
    const level = element.dataset.level;
    if (level !== undefined && data.levels[level] !== undefined) markAt(element, 'typed', typed.get(level));
  };

  for (const element of all<HTMLElement>('.plot[data-level]')) {
    const id = element.dataset.level!;
    const level = data.levels[id];
    const readout = document.querySelector<HTMLElement>(`[data-cursor="${id}"]`);
    if (level === undefined || readout === null) continue;
    const idle = readout.textContent;
    const point = (event: PointerEvent) => {
      const margin = marginOf(element);
      const box = element.getBoundingClientRect();
      const share = (event.clientX - box.left - margin.l) / (box.width - margin.l - margin.r);
      if (!(share >= 0 && share <= 1)) return leave();
      const { log, from, to } = level.scale;
      const value = log ? from * (to / from) ** share : from + share * (to - from);
      markAt(element, 'pointed', value);
      const odds = seenOdds(value, level);
      if (odds === undefined) readout.textContent = notSeen(value, level);
      else {
        const percents = wholePercents(odds);
        const parts = level.classes.map((word, k) => `${word} ${percents[k]!} %`);
        readout.textContent = `${bothUnits(value, level)}: ${parts.join(', ')}`;
      }
    };
    const leave = () => {
      markAt(element, 'pointed', undefined);
      readout.textContent = idle;
    };
    element.addEventListener('pointermove', point);
    element.addEventListener('pointerdown', point);
    // A finger that lifts off leaves too, and the reader still wants to read.
    element.addEventListener('pointerleave', (event) => {
      if (event.pointerType === 'mouse') leave();
    });
  }

  // --- the reading typed ---
  const PROBLEMS = {
    empty: 'Type a reading, or point at the figure.',
    'not-a-number': 'That is no number: write it like 312 or 8.5.',
    'comma-unclear': 'The comma could mean thousands or decimals: write 1200 or 1.2.',
  };
  for (const form of all<HTMLFormElement>('[data-now]')) {
    const id = form.dataset.now!;
    const level = data.levels[id]!;
    const answer = document.querySelector<HTMLElement>(`[data-answer="${id}"]`)!;
    const says = answer.querySelector<HTMLElement>('.says')!;
    const bars = answer.querySelector<HTMLElement>('.bars')!;
    const field = (name: string) => form.elements.namedItem(name) as HTMLInputElement | null;
    const show = (text: string, value?: number) => {
      says.textContent = text;
      if (value === undefined) typed.delete(id);
      else typed.set(id, value);
      const odds = value === undefined ? undefined : seenOdds(value, level);
      bars.hidden = odds === undefined;
      if (odds !== undefined) {
        const percents = wholePercents(odds);
        for (const row of all<HTMLElement>('li', bars)) {
          const percent = percents[Number(row.dataset.class)]!;
          row.querySelector('.percent')!.textContent = `${percent} %`;
          row.querySelector<HTMLElement>('.bar')!.style.width = `${percent}%`;
        }
      }
      for (const element of drawn) if (element.dataset.level === id) placeMarks(element);
    };
    const update = () => {
      const own = field('unit')!.value === level.unit ? 1 : 1 / level.otherPerOwn;
      const now = parseReading(field('value')!.value);
      if ('problem' in now) return show(PROBLEMS[now.problem]);
      let value = now.value * own;
      let how = '';
      if (level.changeTimes > 0) {
        const before = parseReading(field('before')!.value);
        if ('problem' in before)
          return show(before.problem === 'empty' ? 'And what did it read one hour earlier?' : PROBLEMS[before.problem]);
        const inflow = value + level.changeTimes * (value - before.value * own);
        // The same floor as in the fit: a steep fall cannot make a creek run backwards.
        value = level.discharge ? Math.max(inflow, 0.1 * value) : inflow;
        how = 'Effective reading ';
      }
      if (level.discharge && !(value > 0)) return show('A flow of zero or less says nothing here.');
      const odds = seenOdds(value, level);
      if (odds === undefined) return show(how + notSeen(value, level), value);
      const percents = wholePercents(odds);
      const likeliest = percents.reduce((best, p, k) => (p >= percents[best]! ? k : best), 0);
      show(
        `${how}${bothUnits(value, level)}: most likely “${level.classes[likeliest]!}”, ${percents[likeliest]!} in 100.`,
        value,
      );
    };
    form.addEventListener('input', update);
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      update();
    });
    update();
  }
}
