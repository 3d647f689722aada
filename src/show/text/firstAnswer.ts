import type { CreekResult } from '../../chart/chartCreek.js';
import { plainText } from './plainText.js';

/** The answer by weights, a line a run, while the rest is still worked out. */
export function firstAnswer({ chart }: CreekResult): string {
  const lines = chart.runs.map((run) => {
    const gauge = run.gauges.find(({ gauge: { id } }) => id === run.recommended);
    const answer =
      gauge === undefined
        ? 'no gauge to rely on'
        : `${gauge.gauge.name}, ${gauge.trust.grade}. ${gauge.level!.howToRead}`;
    return plainText(`${run.name}: ${answer}`);
  });
  return `First answer, still being checked:\n${lines.map((line) => `  ${line}\n`).join('')}`;
}
