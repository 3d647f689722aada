import { gaugeScale, type GaugeScale } from '../../chart/figures/gaugeScale.js';
import type { LagReport, RunGauges } from '../../chart/gauges/types.js';
import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import { gaugesBestFirst, isUsable } from '../text/gaugesBestFirst.js';

/** One run read from one gauge, as the page shows it. */
export interface Panel {
  /** Unique on the page, and made of digits only: no name from a file becomes an id. */
  readonly id: string;
  readonly run: RunChart;
  readonly gauge: GaugeChart;
  readonly usable: boolean;
  readonly scale: GaugeScale;
  readonly timeZone: string;
  /** How far to trust it, in full; undefined where nobody asked. */
  readonly judgement?: Judgement;
  /** The lag in depth; undefined where nobody asked. */
  readonly lagReport?: LagReport;
  /** Whether the ranking's choice fell on this gauge. */
  readonly chosen: boolean;
  /** One, or none where nothing was fitted. */
  readonly levels: readonly PanelLevel[];
}

export interface PanelLevel {
  readonly id: string;
  readonly name: string;
  readonly level: LevelChart;
}

/** All panels of a run, best gauge first; one that was chosen among all candidates, and is for use by its own grade, before the others. */
export function panelsOf(
  chart: CreekChart,
  run: RunChart,
  { runIndex, trust, gauges }: { runIndex: number; trust?: CreekTrust | undefined; gauges?: RunGauges | undefined },
): readonly Panel[] {
  const judged = trust?.runs.find((one) => one.id === run.id)?.gauges ?? [];
  const chosenId = gauges?.ranking?.choice.id;
  const leads = ({ gauge, trust: { grade } }: GaugeChart) => gauge.id === chosenId && isUsable(grade);
  const best = gaugesBestFirst(run);
  return [...best.filter(leads), ...best.filter((gauge) => !leads(gauge))].map((gauge, i) => {
    const id = `r${runIndex}g${i}`;
    const sameGauge = chart.runs.flatMap((one) => one.gauges).filter((one) => one.gauge.id === gauge.gauge.id);
    const judgement = judged.find((one) => one.gauge === gauge.gauge.id);
    const lagReport = gauges?.lags.find((one) => one.gauge === gauge.gauge.id);
    const levels = levelsOf(gauge, id);
    return {
      id,
      run,
      gauge,
      usable: isUsable(gauge.trust.grade) && levels.length > 0,
      chosen: gauge.gauge.id === chosenId,
      scale: gaugeScale(sameGauge),
      timeZone: chart.creek.timeZone,
      levels,
      ...(judgement === undefined ? {} : { judgement }),
      ...(lagReport === undefined ? {} : { lagReport }),
    };
  });
}

function levelsOf({ level }: GaugeChart, id: string): readonly PanelLevel[] {
  const name = level?.way === 'effective' ? 'Effective reading' : 'One reading';
  return level === undefined ? [] : [{ id: `${id}l`, name, level }];
}
