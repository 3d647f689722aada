import type { Judgement } from '../../judge/judgement.js';
import type { Measured } from '../../judge/floodRatios.js';
import { plainTable } from './plainTable.js';

/** The gauges of a run beside each other, a row each, best first. */
export function gaugesTable(
  gauges: readonly Judgement[],
  { width, indent = '' }: { width: number; indent?: string },
): readonly string[] {
  const rows = gauges.map(({ gaugeName, grade, way, scores, evidence }) => {
    const score = scores?.ways.find((one) => one.way === way);
    return [
      gaugeName,
      grade,
      percentOf(score?.skill.againstFrequencies),
      percentOf(scores?.confusion.right),
      percentOf(scores?.confusion.seenHigher),
      String(evidence.visits),
      String(evidence.floods),
    ];
  });
  return plainTable(
    [
      { heading: 'Gauge' },
      { heading: 'grade' },
      { heading: 'skill', right: true },
      { heading: 'right', right: true },
      { heading: 'higher', right: true },
      { heading: 'visits', right: true },
      { heading: 'floods', right: true },
    ],
    rows,
    { width, indent },
  );
}

/** A measured share as a whole percentage; `-` where there is none. */
export function percentOf(measured: Measured | null | undefined): string {
  const value = measured?.value ?? null;
  if (value === null) return '-';
  const whole = Math.round(value * 100);
  return `${whole === 0 ? 0 : whole} %`;
}
