import type { Truth } from './truth.js';

const NAMES: Readonly<Record<string, string>> = {
  larger: 'Great Thrask',
  flashy: 'Pinnerel Brook',
  regulated: 'Ostrell River',
  'without-brook': 'Great Thrask without Pinnerel Brook',
};
const UNITS: Readonly<Record<string, string>> = {
  larger: 'ft³/s',
  flashy: 'm³/s',
  regulated: 'm',
  'without-brook': 'ft³/s',
};

const signed = (value: number): string => (value > 0 ? `+${value}` : String(value).replace('-', '−'));

/** The table of data-sample/README.md: what each gauge truly knows of each run, in the period of the visits, by readings that exist in time. */
export function truthTable(truth: Truth): string {
  const lines = [
    '| run | gauge | lag, h | storage, h | too low / low | low / good | good / high | high / too high | mismatch | worth |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |',
  ];
  for (const [run, gauges] of [['lower', truth.gauges] as const, ['upper', truth.otherRuns['upper']!.gauges] as const])
    for (const [id, { fit }] of Object.entries(gauges)) {
      const { lagHours, storageHours, edges, meanNegLogLik } = fit.planning;
      const verdict = edges['verdict']!;
      const known = verdict.every((edge) => edge !== null);
      const spreads = verdict.flatMap((edge) => (edge === null ? [] : [edge.mismatch]));
      const cells = known
        ? [
            signed(lagHours),
            signed(storageHours),
            ...verdict.map((edge) => String(Number(edge!.gauge.toPrecision(3)))),
            (spreads.reduce((a, b) => a + b, 0) / spreads.length).toFixed(2),
          ]
        : Array.from({ length: 7 }, () => '–');
      const worth = `${Math.round(100 * (1 - meanNegLogLik / fit.withoutGauge))} %`;
      lines.push(`| ${[run, `${NAMES[id]}, ${UNITS[id]}`, ...cells, worth].join(' | ')} |`);
    }
  return lines.join('\n');
}
