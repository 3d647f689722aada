import { isUsableGrade } from '../judge/grade.js';
import type { CreekInput } from '../read/types.js';
import { bestFirst } from './bestFirst.js';
import { creekChart } from './creekChart.js';
import { fitCreek, type ChartOptions } from './fitCreek.js';
import type { Runner, RunOptions } from './jobs.js';
import type { CreekChart, RunChart } from './types.js';

/**
 * For each run that no gauge is to be relied on at its lead, the lead that still works: half of it, half of that, and so on down to none,
 * each tried with fits of its own and judged by weights.
 *
 * @returns the chart with `shorterLead` where one was found; the same chart where nothing had to be tried.
 */
export async function withShorterLeads(
  chart: CreekChart,
  { input, ...options }: ChartOptions & RunOptions & { readonly input: CreekInput; readonly runner: Runner },
): Promise<CreekChart> {
  const { leadHours = 0 } = options;
  const lost = chart.runs.filter(({ recommended }) => recommended === null);
  if (!(leadHours > 0) || lost.length === 0) return chart;
  const found = new Map<string, RunChart['shorterLead']>();
  for (let hours = halved(leadHours); ; hours = halved(hours)) {
    const runs = lost.filter(({ id }) => !found.has(id)).map(({ id }) => id);
    if (runs.length === 0) break;
    const shorter = creekChart(await fitCreek(input, { ...options, runs, leadHours: hours }));
    for (const { id, gauges } of shorter.runs) {
      const [best] = bestFirst(gauges);
      if (best === undefined || !isUsableGrade(best.trust.grade)) continue;
      found.set(id, { hours, gaugeName: best.gauge.name, grade: best.trust.grade });
    }
    if (hours === 0) break;
  }
  return {
    ...chart,
    runs: chart.runs.map((run) => {
      const shorterLead = found.get(run.id);
      return shorterLead === undefined ? run : { ...run, shorterLead };
    }),
  };
}

/** Half of the hours, whole; below two there is only the gauge of the moment. */
function halved(hours: number): number {
  return hours < 2 ? 0 : Math.floor(hours / 2);
}
