import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import type { CreekGauges } from '../../src/chart/gauges/types.js';
import type { CreekChart, TrustFile } from '../../src/chart/types.js';

/** The sample that tests of outputs share: data-sample as the program charted it (`npx tsx tools/frozenSample.ts` makes it anew). Each call gives fresh objects. */
export function frozenSample(): {
  readonly chart: CreekChart;
  readonly trust: TrustFile;
  readonly gauges: CreekGauges;
} {
  return {
    chart: read('chart') as CreekChart,
    trust: read('trust') as TrustFile,
    gauges: read('gauges') as CreekGauges,
  };
}

function read(name: string): unknown {
  return JSON.parse(gunzipSync(readFileSync(new URL(`frozen/${name}.json.gz`, import.meta.url))).toString('utf8'));
}

/** The sample with another grade for the gauges of a run. */
export function graded(grade: CreekChart['runs'][number]['gauges'][number]['trust']['grade']) {
  const { chart, trust, gauges } = frozenSample();
  const runs = chart.runs.map((run) => ({
    ...run,
    gauges: run.gauges.map((gauge) => ({
      ...gauge,
      trust: { ...gauge.trust, grade, reasons: ['Because of the test.'] },
    })),
  }));
  const judged = trust.runs.map((run) => ({ ...run, gauges: run.gauges.map((by) => ({ ...by, grade })) }));
  return { chart: { ...chart, runs }, trust: { ...trust, runs: judged }, gauges };
}
