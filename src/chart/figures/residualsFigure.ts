import type { JudgedShift } from '../../judge/judgement.js';
import { day, lnShare, minute } from '../../series/format.js';
import { ACCENT, ACCENT_BAND, INK, PAPER, RULE } from '../palette.js';
import { axisTitle, drawn, figureOf, type Figure, type PlotlyObject } from './figure.js';
import { dateAxis } from './hydrographFigure.js';
import { wallClock } from './localTime.js';
import { boxTrace, lineTrace, markTrace, ruleAcross } from './marks.js';
import { changeAxis } from './percentAxis.js';

const DAY_MS = 86_400_000;
const MARGIN = { l: 74, r: 14, t: 14, b: 50 };
/**
 * How much more or less water than the gauge says each visit met, in time. Where a step was found: the days it lies between as
 * a band, and the level before and after, the latter with the 80 % interval of the step.
 *
 * @param shift the judged shift; `options.timeZone` is the creek's.
 * @returns undefined without visits to draw.
 */
export function residualsFigure(
  { residuals, step, found }: Pick<JudgedShift, 'residuals' | 'step' | 'found'>,
  { timeZone }: { timeZone: string },
): Figure | undefined {
  if (residuals.length === 0) return undefined;
  const times = wallClock(
    residuals.map(({ timeMs }) => timeMs),
    timeZone,
  );
  const [from, to] = [times[0]!, times[times.length - 1]!];
  const most = Math.max(0.2, ...residuals.map(({ residual }) => Math.abs(residual)));
  const range = [-1.12 * most, 1.12 * most] as const;
  const air = Math.max(DAY_MS, 0.02 * (to - from));
  const shown = found ? step : null;
  const dots = markTrace(
    times,
    residuals.map(({ residual }) => drawn(residual)),
    {
      marker: { symbol: 'circle', size: 8, color: PAPER, line: { color: INK, width: 1.5 } },
      text: residuals.map(
        ({ timeMs, residual }) => `${minute(timeMs, timeZone)}<br>${lnShare(residual)} against what the gauge says`,
      ),
    },
  );
  const title = 'What each visit met against what the gauge says, in time';
  const alt = residualsAlt({ residuals, step: shown }, timeZone);
  const data = [...(shown === null ? [] : stepTraces(residuals, { step: shown, from, to, range, timeZone })), dots];
  return figureOf({ title, alt }, data, (narrow) => ({
    height: 290,
    margin: MARGIN,
    xaxis: dateAxis(timeZone, { range: [from - air, to + air], nticks: narrow ? 4 : 9, showgrid: false }),
    yaxis: changeAxis(range[1], { px: 226, room: 25, title: axisTitle('off what the gauge says, %', 4) }),
    shapes: [ruleAcross(0)],
  }));
}

type Step = NonNullable<JudgedShift['step']>;

function stepTraces(
  residuals: JudgedShift['residuals'],
  {
    step,
    from,
    to,
    range,
    timeZone,
  }: { step: Step; from: number; to: number; range: readonly [number, number]; timeZone: string },
): readonly PlotlyObject[] {
  const [firstDay, lastDay] = wallClock(step.date80Ms, timeZone) as [number, number];
  const middle = (wallClock(step.betweenMs, timeZone) as [number, number]).reduce((a, b) => a + b) / 2;
  const before = residuals.filter(({ timeMs }) => timeMs <= step.betweenMs[0]);
  const level = before.reduce((sum, { residual }) => sum + residual, 0) / Math.max(1, before.length);
  const [low, high] = step.size80.map((size) => drawn(level + size)) as [number, number];
  const flat = (x: readonly [number, number], y: number) =>
    lineTrace(x, [drawn(y), drawn(y)], { color: ACCENT, width: 3 });
  return [
    boxTrace([firstDay, Math.max(lastDay, firstDay + DAY_MS)], [drawn(range[0]), drawn(range[1])], { fillcolor: RULE }),
    boxTrace([middle, to], [low, high], { fillcolor: ACCENT_BAND }),
    flat([from, middle], level),
    flat([middle, to], level + step.sizeMedian),
  ];
}

function residualsAlt(
  { residuals, step }: { residuals: JudgedShift['residuals']; step: Step | null },
  timeZone: string,
): string {
  const sorted = residuals.map(({ residual }) => residual).sort((a, b) => a - b);
  const at = (p: number) => sorted[Math.round(p * (sorted.length - 1))]!;
  const days = [residuals[0]!, residuals[residuals.length - 1]!]
    .map(({ timeMs }) => day(timeMs, timeZone))
    .join(' to ');
  const all =
    `What ${residuals.length} visits met against what the gauge says, ${days}: eight in ten between ` +
    `${lnShare(at(0.1))} and ${lnShare(at(0.9))}.`;
  if (step === null) return `${all} No step is drawn.`;
  const [low, high] = step.size80.map(lnShare);
  const [first, last] = step.date80Ms.map((ms) => day(ms, timeZone));
  return `${all} A step of ${lnShare(step.sizeMedian)} (80 %: ${low} to ${high}) between ${first} and ${last}.`;
}
