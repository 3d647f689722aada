import type { JudgedShift } from '../../judge/judgement.js';
import { ACCENT, ACCENT_BAND, INK, INK_SOFT, PAPER, RULE } from '../palette.js';
import { axisStyle, axisTitle, baseLayout, drawn, type Figure, type PlotlyObject } from './figure.js';
import { localStamp, wallClock } from './localTime.js';
import { lnPercentText } from './percentText.js';
import { plotlyText } from './plotlyText.js';

const DAY_MS = 86_400_000;
const MARGIN = { l: 74, r: 14, t: 14, b: 50 };
/** Marks of the axis, ln units: factors that people can read. */
const FACTORS = [0.1, 0.2, 0.33, 0.5, 0.67, 0.8, 0.9, 1, 1.1, 1.25, 1.5, 2, 3, 5, 10];

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
  const most = Math.max(0.2, ...residuals.map(({ residual }) => Math.abs(residual)));
  const range = [-1.12 * most, 1.12 * most] as const;
  const marks = spaced(
    FACTORS.map(Math.log).filter((ln) => Math.abs(ln) <= range[1]),
    0.11 * 2 * range[1],
  );
  const air = Math.max(DAY_MS, 0.02 * (times[times.length - 1]! - times[0]!));
  const shown = found ? step : null;
  const layout = (narrow: boolean) =>
    baseLayout({
      height: 290,
      margin: MARGIN,
      xaxis: axisStyle({
        type: 'date',
        range: [times[0]! - air, times[times.length - 1]! + air],
        title: axisTitle(`local time, ${plotlyText(timeZone, { maxChars: 30 })}`),
        nticks: narrow ? 4 : 9,
        showgrid: false,
      }),
      yaxis: axisStyle({
        range,
        tickvals: marks.map(drawn),
        ticktext: marks.map(lnPercentText),
        title: axisTitle('off what the gauge says, %', 4),
      }),
      shapes: [
        { type: 'line', xref: 'paper', yref: 'y', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: INK_SOFT, dash: 'dash' } },
      ],
    });
  return {
    kind: 'figure',
    title: 'What each visit met against what the gauge says, in time',
    alt: residualsAlt({ residuals, step: shown }, timeZone),
    data: [
      ...(shown === null ? [] : stepTraces(residuals, { step: shown, times, range, timeZone })),
      {
        type: 'scatter',
        mode: 'markers',
        x: times,
        y: residuals.map(({ residual }) => drawn(residual)),
        marker: { symbol: 'circle', size: 8, color: PAPER, line: { color: INK, width: 1.5 } },
        text: residuals.map(
          ({ timeMs, residual }) =>
            `${localStamp(timeMs, timeZone)}<br>${lnPercentText(residual)} against what the gauge says`,
        ),
        hovertemplate: '%{text}<extra></extra>',
      },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

/** Marks at least `apart` from the one before, zero always among them. */
function spaced(marks: readonly number[], apart: number): readonly number[] {
  const side = (values: readonly number[]) => {
    let last = 0;
    return values.filter((value) => {
      const keep = Math.abs(value - last) >= apart;
      if (keep) last = value;
      return keep;
    });
  };
  return [...side(marks.filter((m) => m < 0).reverse()).reverse(), 0, ...side(marks.filter((m) => m > 0))];
}

type Step = NonNullable<JudgedShift['step']>;

function stepTraces(
  residuals: JudgedShift['residuals'],
  {
    step,
    times,
    range,
    timeZone,
  }: { step: Step; times: readonly number[]; range: readonly [number, number]; timeZone: string },
): readonly PlotlyObject[] {
  const [from, to] = wallClock(step.date80Ms, timeZone) as [number, number];
  const before = residuals.filter(({ timeMs }) => timeMs <= step.betweenMs[0]);
  const level = before.reduce((sum, { residual }) => sum + residual, 0) / Math.max(1, before.length);
  const end = times[times.length - 1]!;
  const box = (x: readonly [number, number], y: readonly [number, number], color: string) => ({
    type: 'scatter',
    mode: 'lines',
    x: [x[0], x[1], x[1], x[0], x[0]],
    y: [y[0], y[0], y[1], y[1], y[0]].map(drawn),
    line: { width: 0 },
    fill: 'toself',
    fillcolor: color,
    hoverinfo: 'skip',
  });
  const flat = (x: readonly [number, number], y: number) => ({
    type: 'scatter',
    mode: 'lines',
    x,
    y: [drawn(y), drawn(y)],
    line: { color: ACCENT, width: 3 },
    hoverinfo: 'skip',
  });
  const middle = (wallClock(step.betweenMs, timeZone) as [number, number]).reduce((a, b) => a + b) / 2;
  return [
    box([from, Math.max(to, from + DAY_MS)], range, RULE),
    box([middle, end], [level + step.size80[0], level + step.size80[1]], ACCENT_BAND),
    flat([times[0]!, middle], level),
    flat([middle, end], level + step.sizeMedian),
  ];
}

function residualsAlt(
  { residuals, step }: { residuals: JudgedShift['residuals']; step: Step | null },
  timeZone: string,
): string {
  const day = (ms: number) => localStamp(ms, timeZone).slice(0, 10);
  const sorted = residuals.map(({ residual }) => residual).sort((a, b) => a - b);
  const at = (p: number) => sorted[Math.round(p * (sorted.length - 1))]!;
  const all = `What ${residuals.length} visits met against what the gauge says, ${day(residuals[0]!.timeMs)} to ${day(residuals[residuals.length - 1]!.timeMs)}: eight in ten between ${lnPercentText(at(0.1))} and ${lnPercentText(at(0.9))}.`;
  if (step === null) return `${all} No step is drawn.`;
  return `${all} A step of ${lnPercentText(step.sizeMedian)} (80 %: ${lnPercentText(step.size80[0])} to ${lnPercentText(step.size80[1])}) between ${day(step.date80Ms[0])} and ${day(step.date80Ms[1])}.`;
}
