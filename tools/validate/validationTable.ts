import type { Compared, GaugeValidation } from './validateGauge.js';

/** One gauge's validation as lines of at most 80 columns. */
export function validationTable(v: GaugeValidation): string {
  const out = [
    `${v.run} by ${v.gauge}: ${v.grade}, ${v.visits} visits in ${v.floods} floods`,
    '  edge (single reading, any lag)            error ln   80 %  95 %  width 80 %',
  ];
  for (const e of v.edges)
    out.push(`  ${pad(`${e.feature}: ${e.between.join(' | ')}${e.seenBothSides ? '' : ' *'}`, 40)}${row(e)}`);
  out.push(
    `  mean |error|: verdict ${show(v.meanAbsEdgeError.verdict, 3)}, features ${show(v.meanAbsEdgeError.features, 3)}`,
    `  ${pad('lag, h (any lag)', 40)}${row(v.lag)}`,
    `  ${pad('storage, h (lead 0)', 40)}${row(v.storage.leadZero)}`,
    `  ${pad('storage, h (any lag)', 40)}${row(v.storage.anyLag)}`,
    `  ${pad('mismatch, ln ratio', 40)}${row(v.mismatch)}`,
    `  skill with floods left out: effective ${show(v.leftOutSkill.effective, 3)}, one reading ${show(v.leftOutSkill.oneReading, 3)}`,
  );
  const { later } = v;
  if (later !== null && later.skill !== null && later.gain !== null) {
    const gain = (way: 'oneReading' | 'asItStands') =>
      `${show(later.gain![way].difference, 3)} (${later.gain![way].i80.map((b) => show(b, 3)).join(' to ')})`;
    out.push(
      `  later days, ${later.hoursScored} of ${later.hours} hours in ${later.floods} floods, skill against the logged shares:`,
      `    effective ${show(later.skill.effective, 3)}, one reading ${show(later.skill.oneReading, 3)}, as it stands ${show(later.skill.asItStands, 3)}`,
      `    effective over one reading ${gain('oneReading')}`,
      `    effective over the gauge as it stands ${gain('asItStands')}`,
    );
  }
  return out.join('\n');
}

function row({ error, inside80, inside95, width80 }: Compared): string {
  const yes = (inside: boolean | null): string => (inside === null ? '-' : inside ? 'in' : 'out').padStart(6);
  return `${show(error, 2).padStart(10)}${yes(inside80)}${yes(inside95)}${show(width80, 2).padStart(12)}`;
}

function show(value: number | null, digits: number): string {
  return value === null || !Number.isFinite(value) ? '-' : value.toFixed(digits);
}

function pad(text: string, width: number): string {
  return text.length > width ? `${text.slice(0, width - 1)}…` : text.padEnd(width);
}
