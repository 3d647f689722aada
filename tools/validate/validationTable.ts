import { padText } from '../../src/show/text/wrapText.js';
import type { Compared, EdgeCompared, GaugeValidation } from './validateGauge.js';

/** One gauge's validation as a table of at most 80 columns. */
export function validationTable(v: GaugeValidation): string {
  const { later, meanAbsEdgeError: mean } = v;
  const lines = [
    `${v.run} by ${v.gauge}: ${v.grade} (${v.visits} visits, ${v.floods} floods)`,
    row('', 'error', 'width 80 %', 'in 80 %', 'in 95 %'),
    ...v.edges.map((e) => compared(edgeName(e), e)),
    ...(v.edges.some((e) => !e.seenBothSides) ? ['  * no visit on one side of this edge'] : []),
    compared('lag, one reading, h', v.lag),
    compared('storage at lead 0, h', v.storage.leadZero),
    compared('storage at any lag, h', v.storage.anyLag),
    compared('ln mismatch, one reading', v.mismatch),
    `  mean |edge error|: verdict ${fixed(mean.verdict)}, features ${fixed(mean.features)}`,
    `  skill with floods left out: effective ${fixed(v.leftOutSkill.effective)}, one reading ${fixed(v.leftOutSkill.oneReading)}`,
  ];
  if (v.card !== null) lines.push(...cardLines(v.card));
  if (later === null) return [...lines, '  no later record', ''].join('\n');
  lines.push(
    `  later days: ${later.hours} h, ${(100 * later.notScoredShare).toFixed(1)} % could not be scored, ${later.floods} floods`,
  );
  if (later.skill !== null && later.gain !== null) {
    const { effective, oneReading, asItStands } = later.skill;
    const gain = (name: keyof typeof later.gain) => {
      const { difference, i80 } = later.gain![name];
      return `${signed(difference)} (80 %: ${signed(i80[0])} to ${signed(i80[1])})`;
    };
    lines.push(
      `  skill there: effective ${fixed(effective)}, one reading ${fixed(oneReading)}, as it stands ${fixed(asItStands)}`,
      `  effective over one reading:         ${gain('oneReading')}`,
      `  effective over gauge as it stands:  ${gain('asItStands')}`,
    );
  }
  return [...lines, ''].join('\n');
}

function cardLines({ edges, met, bySeason, seenShare }: NonNullable<GaugeValidation['card']>): readonly string[] {
  const counted = (of: typeof edges.asDrawn, what: 'inside80' | 'inside95' | 'unsafe') =>
    `${of.filter((edge) => edge[what] === true).length} of ${of.filter((edge) => edge[what] !== null).length}`;
  const edgeLine = (name: string, of: typeof edges.asDrawn) =>
    `  edges ${name}: ${counted(of, 'inside80')} in 80 %, ${counted(of, 'inside95')} in 95 %, ${counted(of, 'unsafe')} unsafe`;
  const metLine = (name: string, { skill, higher, lower }: (typeof met)['asDrawn']) =>
    `  ${padText(name, 17)}skill ${fixed(skill)}, higher ${fixed(higher.met)}/${fixed(higher.odds)}, lower ${fixed(lower.met)}/${fixed(lower.odds)}`;
  return [
    `  the card on later hours (met/odds), ${(100 * seenShare).toFixed(0)} % with a reading visits have met:`,
    edgeLine('as drawn', edges.asDrawn),
    edgeLine('all hours', edges.allHours),
    metLine('as drawn', met.asDrawn),
    metLine('all hours', met.allHours),
    metLine('when it runs', met.whenItRuns),
    ...bySeason.map((season) => metLine(`from ${season.from}`, season)),
  ];
}

const WIDTHS = [34, 9, 12, 10, 10];

function row(...cells: readonly string[]): string {
  return `  ${cells.map((cell, i) => padText(cell, WIDTHS[i], { left: i > 0 })).join('')}`.trimEnd();
}

function edgeName({ feature, between, seenBothSides }: EdgeCompared): string {
  const name = `${feature}: ${between.join(' | ')}${seenBothSides ? '' : ' *'}`;
  return name.length < WIDTHS[0] ? name : `${name.slice(0, WIDTHS[0] - 2)}…`;
}

function compared(name: string, { error, width80, inside80, inside95 }: Compared): string {
  const said = (inside: boolean | null) => (inside === null ? '-' : inside ? 'yes' : 'no');
  return row(name, error === null ? '-' : signed(error), fixed(width80), said(inside80), said(inside95));
}

function fixed(value: number | null): string {
  return value === null ? '-' : value.toFixed(3);
}

function signed(value: number | null): string {
  return value === null ? '-' : `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(3)}`;
}
